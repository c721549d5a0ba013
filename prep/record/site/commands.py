"""Commands on a site: open a yard, give and take roles there."""

from collections.abc import Sequence
from typing import Annotated, ClassVar, Literal
from uuid import UUID
from zoneinfo import available_timezones

from prep.record.command import Command, Facts, Permission
from prep.record.fields import FILLED, Meta, Privacy, SiteCode
from prep.record.needs import KEEPER, MEMBER
from prep.record.refusal import Refusal
from prep.record.roles import Context, Role
from prep.record.site.events import (
    KeeperAdded,
    KeeperRemoved,
    MemberAdded,
    MemberRemoved,
    SiteOpened,
)

MemberName = Annotated[
    str, Meta(min_length=1, max_length=150, description="User name.", examples=["pat"])
]


class OpenSite(Command, frozen=True, kw_only=True, tag="site.open"):
    """Open a yard, or change its details.

    Only the command line does this: the person with access to the server is trusted with it.
    """

    stream: ClassVar[str] = "site"
    permission: ClassVar = Permission(frozenset())
    creates: ClassVar = True
    offered: ClassVar = False

    site: SiteCode
    name: Annotated[str, Meta(max_length=120, pattern=FILLED)]
    time_zone: Annotated[str, Meta(max_length=60, examples=["America/Chicago"])]
    dealer: Annotated[str, Meta(max_length=120, pattern=FILLED)]

    def decide(self, state: object, context: Context, facts: Facts) -> Sequence[SiteOpened]:
        """The yard has these details from now on; its time zone is one of the IANA's."""
        self.check()
        return [SiteOpened(self.site, self.name, self.time_zone, self.dealer)]

    def check(self) -> None:
        """Refuse a time zone that there is not."""
        if self.time_zone not in available_timezones():
            raise Refusal("no-such-time-zone", field="time_zone", typed=self.time_zone)


class GiveRole(Command, frozen=True, kw_only=True, tag="member.add"):
    """Give a person a role at a site.

    An administrator may take on any role themselves, service manager as well, and sign by it: small
    yards have one person for both. It is an event in their name, and the audit page shows it.
    """

    stream: ClassVar[str] = "site"
    permission: ClassVar = Permission(frozenset({Role.ADMINISTRATOR}))
    needs: ClassVar = (MEMBER,)
    changes: ClassVar = ("members",)
    at_once: ClassVar = True

    person: MemberName
    role: Annotated[Role, Meta(extra={"choose": "role"})]

    def decide(self, state: object, context: Context, facts: Facts) -> Sequence[MemberAdded]:
        """The person holds the role from now on."""
        member = facts[MEMBER]
        if self.role in member.roles:
            raise Refusal("role-held", field="role", person=member.name, role=self.role)
        return [MemberAdded(member.id, member.name, self.role.value)]


class TakeRole(Command, frozen=True, kw_only=True, tag="member.remove"):
    """Take a role from a person; what they signed stays signed."""

    stream: ClassVar[str] = "site"
    permission: ClassVar = Permission(frozenset({Role.ADMINISTRATOR}))
    needs: ClassVar = (MEMBER,)
    changes: ClassVar = ("members",)
    at_once: ClassVar = True

    person: MemberName
    role: Annotated[Role, Meta(extra={"choose": "role"})]

    def decide(self, state: object, context: Context, facts: Facts) -> Sequence[MemberRemoved]:
        """The person no longer holds the role; the yard keeps an active administrator."""
        member = facts[MEMBER]
        if self.role not in member.roles:
            raise Refusal("role-not-held", field="role", person=member.name, role=self.role)
        if self.role is Role.ADMINISTRATOR and member.alone:
            raise Refusal("last-administrator", person=member.name, yards=(member.yard,))
        return [MemberRemoved(member.id, member.name, self.role.value)]


KeeperEmail = Annotated[
    str,
    Meta(
        max_length=254,
        # A name, and no number of a machine, perhaps one inside: the service sends mails there.
        pattern=r"^[^@\s]+@[^@\s\[\]]+\.[^@\s\[\]\d.][^@\s\[\].]*(?!\n)$",
        examples=["records@kept.example"],
        extra={"privacy": Privacy.PERSONAL, "malformed": "not-an-email"},
    ),
]


class AddKeeper(Command, frozen=True, kw_only=True, tag="keeper.add"):
    """Send the log's signed checkpoint to an address outside, once a day.

    What was sent shows later whether the log was rewritten. The address is kept beside the log, so
    that it can be removed.
    """

    stream: ClassVar[str] = "site"
    permission: ClassVar = Permission(frozenset({Role.ADMINISTRATOR}))
    needs: ClassVar = (KEEPER,)

    email: KeeperEmail
    language: Literal["en", "es", "fr"] = "en"

    def decide(self, state: object, context: Context, facts: Facts) -> Sequence[KeeperAdded]:
        """The address gets the next checkpoint."""
        return [KeeperAdded(facts[KEEPER].id, facts[KEEPER].digest, self.language)]


class RemoveKeeper(Command, frozen=True, kw_only=True, tag="keeper.remove"):
    """Send no more checkpoints to an address, and keep it no longer."""

    stream: ClassVar[str] = "site"
    permission: ClassVar = Permission(frozenset({Role.ADMINISTRATOR}))
    needs: ClassVar = (KEEPER,)

    keeper: Annotated[UUID, Meta(examples=["0b6cf7f4-51cf-4a6e-9d0a-9a3a5a3f9c11"])]

    def decide(self, state: object, context: Context, facts: Facts) -> Sequence[KeeperRemoved]:
        """The address gets no more."""
        return [KeeperRemoved(facts[KEEPER].id)]
