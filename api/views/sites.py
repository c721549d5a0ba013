"""Endpoints of the people at a site and their roles."""

import msgspec

from api.inputs import CommandBody, Name
from api.operations import View, commands, reads
from prep.actions import sites
from prep.actions.write_path import Command
from prep.queries.people import person_named, sites_of
from prep.queries.sites import member_rows
from prep.record.refusal import Refusal
from prep.record.roles import Role


class Member(msgspec.Struct, frozen=True, kw_only=True):
    """A person and a role held at a site."""

    person: str
    name: str
    role: str


class MemberList(msgspec.Struct, frozen=True, kw_only=True):
    """Members of a site by name."""

    items: list[Member]


class MemberBody(CommandBody, frozen=True, kw_only=True):
    """A person by user name, and the role."""

    person: Name
    role: Role


class MembersView(View):
    """The members of a site."""

    tag = "sites"

    @reads
    def get(self, site: str) -> MemberList:
        """List a site's members."""
        _check_member(self, site)
        return MemberList(items=_members(site))

    @commands()
    def post(self, site: str, command: Command, body: MemberBody) -> MemberList:
        """Give a person a role at a site.

        Requires the role of administrator. The answer lists the members afterwards.
        """
        _check_member(self, site)
        person = person_named(body.person)
        sites.add_member(
            actor=self.person, command=command, site=site, person=person, role=body.role
        )
        return MemberList(items=_members(site))


class MemberRemovalView(View):
    """Taking a role from a member."""

    tag = "sites"

    @commands()
    def post(self, site: str, command: Command, body: MemberBody) -> MemberList:
        """Take a role from a person at a site.

        What they signed stays signed.
        """
        _check_member(self, site)
        person = person_named(body.person)
        sites.remove_member(
            actor=self.person, command=command, site=site, person=person, role=body.role
        )
        return MemberList(items=_members(site))


def _check_member(view: View, site: str) -> None:
    """Refuse people without a role at the site, as if the site did not exist."""
    if site not in sites_of(view.person):
        raise Refusal("no-such-site", "There is no such site.")


def _members(site: str) -> list[Member]:
    return [
        Member(person=row["person__username"], name=row["person__printed_name"], role=row["role"])
        for row in member_rows(site)
    ]
