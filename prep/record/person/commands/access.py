"""Commands that open and shut an account: enroll, suspend, restore, leave, sign out everywhere."""

from collections.abc import Sequence
from typing import Annotated, ClassVar

from prep.record.command import Facts, Permission
from prep.record.fields import Meta, Reason
from prep.record.person import events as e
from prep.record.person.days import checked_day
from prep.record.person.needs import LEFT_ALONE, ROLES_END, SECRETS
from prep.record.person.person_command import (
    CONSOLE,
    Language,
    NewPin,
    Password,
    PersonCommand,
    PrintedName,
    UserName,
)
from prep.record.person.state import PersonState, Status
from prep.record.refusal import Refusal
from prep.record.roles import Context, Role


class EnrollPerson(PersonCommand, frozen=True, kw_only=True, tag="person.enroll"):
    """Give somebody an account with password and PIN. Only the service's console does this."""

    permission: ClassVar = CONSOLE
    offered: ClassVar = False
    needs: ClassVar = (SECRETS,)

    username: UserName
    name: PrintedName
    password: Password
    new_pin: NewPin
    language: Language = "en"

    def decide(
        self, state: PersonState, context: Context, facts: Facts
    ) -> Sequence[e.PersonEnrolled]:
        """The person can sign in and sign from now on; roles are given at each yard."""
        secrets = facts[SECRETS]
        return [
            e.PersonEnrolled(
                username=self.username,
                name=self.name,
                language=self.language,
                units="us",
                numbers="",
                password=secrets.password,
                pin=secrets.pin,
            )
        ]


class SuspendPerson(PersonCommand, frozen=True, kw_only=True, tag="person.suspend"):
    """Shut an account: sessions and tokens end at once, at every yard. Signatures stand.

    An administrator of any of the person's yards may do it, and restore it: whoever sees that an
    account is misused must not have to look for somebody first.
    """

    needs: ClassVar = (LEFT_ALONE,)
    changes: ClassVar = ("members",)

    reason: Reason

    @classmethod
    def guard(cls, state: PersonState, context: Context) -> None:
        """The account was not shut already."""
        if state.status is Status.SUSPENDED:
            raise Refusal("person-suspended", person=state.name)
        if state.status is Status.LEFT:
            raise Refusal("person-left", person=state.name)

    def decide(
        self, state: PersonState, context: Context, facts: Facts
    ) -> Sequence[e.PersonSuspended]:
        """No yard is left without an active administrator."""
        keep_an_administrator(state.name, facts)
        return [e.PersonSuspended(self.reason)]


class RestorePerson(PersonCommand, frozen=True, kw_only=True, tag="person.restore"):
    """Open an account again that was suspended, or that somebody left.

    Password and PIN are the former ones. Whoever left has no roles any more; give one first.
    """

    changes: ClassVar = ("members",)

    reason: Reason

    @classmethod
    def guard(cls, state: PersonState, context: Context) -> None:
        """The account is shut."""
        if state.status not in {Status.SUSPENDED, Status.LEFT}:
            raise Refusal("person-not-shut", person=state.name)

    def decide(
        self, state: PersonState, context: Context, facts: Facts
    ) -> Sequence[e.PersonRestored]:
        """The person can sign in again."""
        return [e.PersonRestored(self.reason)]


LastDay = Annotated[
    str,
    Meta(
        pattern=r"^\d{4}-\d{2}-\d{2}(?!\n)$",
        description="The last day of work, such as 2026-03-31.",
        examples=["2026-03-31"],
        extra={"malformed": "not-a-day", "input": "date"},
    ),
]


class LeavePerson(PersonCommand, frozen=True, kw_only=True, tag="person.leave"):
    """Record that somebody left: roles, sessions and tokens end at once, at every yard.

    What they signed stays signed. It takes the role at every yard of theirs, because roles are a
    yard's own. A last day to come is what the office knows; the account is shut now.
    """

    at_every_yard: ClassVar = True
    needs: ClassVar = (LEFT_ALONE, ROLES_END)
    changes: ClassVar = ("members",)

    last_day: LastDay

    @classmethod
    def guard(cls, state: PersonState, context: Context) -> None:
        """The person did not leave already."""
        if state.status is Status.LEFT:
            raise Refusal("person-left", person=state.name)

    def decide(self, state: PersonState, context: Context, facts: Facts) -> Sequence[e.PersonLeft]:
        """No yard is left without an active administrator."""
        keep_an_administrator(state.name, facts)
        return [e.PersonLeft(checked_day(self.last_day, "last_day"))]


class SignOutEverywhere(PersonCommand, frozen=True, kw_only=True, tag="person.sign-out"):
    """End every session and token of a person; they sign in again with their password."""

    permission: ClassVar = Permission(frozenset({Role.ADMINISTRATOR}), own=True)

    def decide(
        self, state: PersonState, context: Context, facts: Facts
    ) -> Sequence[e.SignedOutEverywhere]:
        """Whoever held a lost tablet or a token is out."""
        return [e.SignedOutEverywhere()]


def keep_an_administrator(person: str, facts: Facts) -> None:
    """Refuse what would leave a yard without an active administrator."""
    if yards := facts[LEFT_ALONE]:
        raise Refusal("last-administrator", person=person, yards=tuple(yards))
