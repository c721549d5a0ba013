"""Commands on invitations: invite, make another link, withdraw it, reset, use it.

A link or code is shown to the administrator who asks for it, once, and mailed where an address is
known. Whoever has it chooses password and PIN, so nobody ever knows somebody else's.
"""

from collections.abc import Sequence
from datetime import datetime
from typing import Annotated, ClassVar, Final
from uuid import UUID

from prep.record.command import Command, Facts, Permission
from prep.record.fields import Email, Meta, Phone
from prep.record.person import events as e
from prep.record.person.needs import INVITATION, NEW_PERSON, SECRETS
from prep.record.person.person_command import (
    ADMINISTRATORS,
    CONSOLE,
    Language,
    NewPin,
    Numbers,
    Password,
    PersonCommand,
    PrintedName,
    Units,
    UserName,
    must_be_here,
)
from prep.record.person.state import Opens, PersonState
from prep.record.refusal import Refusal
from prep.record.roles import Context, Role
from prep.record.site.events import MemberAdded

FirstRoles = Annotated[
    tuple[Role, ...],
    Meta(min_length=1, max_length=5, examples=[["technician"]], extra={"choose": "roles"}),
]


class InvitePerson(Command, frozen=True, kw_only=True, tag="person.invite"):
    """Invite a person to a yard: an account with first roles there, opened by a link or a code.

    The link and the code are valid for seven days and open the account once. Until then nobody can
    sign in with it.
    """

    stream: ClassVar[str] = "site"
    permission: ClassVar[Permission] = ADMINISTRATORS
    at_once: ClassVar[bool] = True
    needs: ClassVar = (NEW_PERSON,)
    changes: ClassVar = ("members",)

    username: UserName
    name: PrintedName
    roles: Annotated[
        tuple[Role, ...],
        Meta(min_length=1, max_length=5, examples=[["technician"]], extra={"choose": "roles"}),
    ]
    language: Language = "en"
    units: Units = "us"
    numbers: Numbers = ""
    email: Email = ""
    phone: Phone = ""

    def decide(self, state: object, context: Context, facts: Facts) -> Sequence[MemberAdded]:
        """The person holds the roles from now on, and can act once the invitation is used."""
        person = facts[NEW_PERSON]
        roles = dict.fromkeys(self.roles)
        return [MemberAdded(person.id, person.name, role.value) for role in roles]


class RenewInvitation(PersonCommand, frozen=True, kw_only=True, tag="invitation.renew"):
    """Make another link and code for somebody who has not joined; the ones before open nothing."""

    at_every_yard: ClassVar = True
    needs: ClassVar = (INVITATION,)

    @classmethod
    def guard(cls, state: PersonState, context: Context) -> None:
        """The person has not joined yet."""
        must_be_here(state)
        if state.joined:
            raise Refusal("already-joined", person=state.name)

    def decide(
        self, state: PersonState, context: Context, facts: Facts
    ) -> Sequence[e.InvitationMade]:
        """Seven more days."""
        return [e.InvitationMade(facts[INVITATION])]


class ResetPerson(PersonCommand, frozen=True, kw_only=True, tag="person.reset"):
    """Let somebody who forgot password or PIN choose new ones, by a link or a code.

    The former ones work until it is used, and then every session and token ends.
    """

    at_every_yard: ClassVar = True
    needs: ClassVar = (INVITATION,)

    @classmethod
    def guard(cls, state: PersonState, context: Context) -> None:
        """The person has joined, and the account is not shut."""
        must_be_here(state)
        if not state.joined:
            raise Refusal("not-joined", person=state.name)

    def decide(
        self, state: PersonState, context: Context, facts: Facts
    ) -> Sequence[e.InvitationMade]:
        """One link and code, for seven days."""
        return [e.InvitationMade(facts[INVITATION])]


class WithdrawInvitation(PersonCommand, frozen=True, kw_only=True, tag="invitation.withdraw"):
    """Withdraw the open link and code of a person, because they went to the wrong hands."""

    @classmethod
    def guard(cls, state: PersonState, context: Context) -> None:
        """There is an open one."""
        if state.open_invitation is None:
            raise Refusal("no-open-invitation", person=state.name)

    def decide(
        self, state: PersonState, context: Context, facts: Facts
    ) -> Sequence[e.InvitationWithdrawn]:
        """It opens nothing any more."""
        assert state.open_invitation is not None  # the guard's
        return [e.InvitationWithdrawn(state.open_invitation.invitation.id)]


class UseInvitation(PersonCommand, frozen=True, kw_only=True, tag="invitation.use"):
    """Choose password and PIN with a link or code. Only the page for that gives this command."""

    permission: ClassVar = CONSOLE
    offered: ClassVar = False
    needs: ClassVar = (SECRETS,)

    invitation: UUID
    password: Password
    new_pin: NewPin
    language: Language

    def decide(
        self, state: PersonState, context: Context, facts: Facts
    ) -> Sequence[e.InvitationUsed]:
        """Once, in time, and while it stands."""
        invitation = usable(state, str(self.invitation), context.recorded)
        secrets = facts[SECRETS]
        return [
            e.InvitationUsed(
                invitation=invitation.id,
                purpose=invitation.purpose,
                language=self.language,
                password=secrets.password,
                pin=secrets.pin,
            )
        ]


def usable(state: PersonState, invitation: str, now: datetime) -> e.Invitation:
    """An invitation that opens the account at a moment; Refusal that says why it does not."""
    known = state.invitations.get(invitation)
    if known is None:
        raise Refusal("no-such-invitation")
    if known.state is Opens.USED:
        raise Refusal("invitation-used")
    if known.state is Opens.WITHDRAWN:
        raise Refusal("invitation-withdrawn")
    if known.state is Opens.REPLACED:
        raise Refusal("invitation-replaced")
    if now >= datetime.fromisoformat(known.invitation.expires):
        raise Refusal("invitation-expired")
    return known.invitation


# Commands after which a link and a code are shown, once.
OPENING: Final[tuple[type[Command], ...]] = (InvitePerson, RenewInvitation, ResetPerson)
