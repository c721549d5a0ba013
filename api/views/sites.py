"""Endpoints of the people at a site and their roles."""

import msgspec

from api.operations import View, reads
from prep.queries.people import sites_of
from prep.queries.sites import member_rows
from prep.record.refusal import Refusal


class Member(msgspec.Struct, frozen=True, kw_only=True):
    """A person and a role held at a site."""

    person: str
    name: str
    role: str


class MemberList(msgspec.Struct, frozen=True, kw_only=True):
    """Members of a site by name."""

    items: list[Member]


class MembersView(View):
    """The members of a site."""

    tag = "sites"

    @reads
    def get(self, site: str) -> MemberList:
        """List a site's members."""
        _check_member(self, site)
        return MemberList(items=_members(site))


def _check_member(view: View, site: str) -> None:
    """Refuse people without a role at the site, as if the site did not exist."""
    if site not in sites_of(view.person):
        raise Refusal("no-such-site")


def _members(site: str) -> list[Member]:
    return [
        Member(person=row["person__username"], name=row["person__printed_name"], role=row["role"])
        for row in member_rows(site)
    ]
