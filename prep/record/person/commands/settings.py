"""Commands of people on their own account: preferences, how they are reached, password and PIN."""

from collections.abc import Sequence
from typing import ClassVar

from prep.record.command import Facts, Permission
from prep.record.fields import Email, Phone
from prep.record.person import events as e
from prep.record.person.needs import CONTACT, SECRETS
from prep.record.person.person_command import (
    OWN,
    Language,
    NewPin,
    Numbers,
    Password,
    PersonCommand,
    Units,
)
from prep.record.person.state import PersonState
from prep.record.refusal import Refusal
from prep.record.roles import Context, Role


class Prefer(PersonCommand, frozen=True, kw_only=True, tag="person.prefer"):
    """Choose your language, units and number style; what is left out stays as it is."""

    permission: ClassVar = OWN

    language: Language | None = None
    units: Units | None = None
    numbers: Numbers | None = None

    def decide(
        self, state: PersonState, context: Context, facts: Facts
    ) -> Sequence[e.PreferencesChosen]:
        """Pages and entries are written and read so from now on."""
        chosen = e.PreferencesChosen(
            language=_or(self.language, state.language),
            units=_or(self.units, state.units),
            numbers=_or(self.numbers, state.numbers),
        )
        if chosen == e.PreferencesChosen(state.language, state.units, state.numbers):
            raise Refusal("nothing-changed")
        return [chosen]


def _or(chosen: str | None, present: str) -> str:
    return present if chosen is None else chosen


class ChangeContact(PersonCommand, frozen=True, kw_only=True, tag="person.contact"):
    """Change how a person is reached. E-mail and phone are kept beside the log; empty erases."""

    permission: ClassVar = Permission(frozenset({Role.ADMINISTRATOR}), own=True)
    needs: ClassVar = (CONTACT,)

    email: Email = ""
    phone: Phone = ""

    def decide(
        self, state: PersonState, context: Context, facts: Facts
    ) -> Sequence[e.ContactChanged]:
        """The log holds a salted digest of them."""
        return [e.ContactChanged(facts[CONTACT])]


class _ChangeSecret(PersonCommand, frozen=True, kw_only=True):
    """A change of password or PIN. Whoever gives it confirmed the present password before."""

    permission: ClassVar = OWN
    offered: ClassVar = False
    needs: ClassVar = (SECRETS,)


class ChangePassword(_ChangeSecret, frozen=True, kw_only=True, tag="person.change-password"):
    """Change your password: every session and token but the present one ends."""

    password: Password

    def decide(
        self, state: PersonState, context: Context, facts: Facts
    ) -> Sequence[e.PasswordChanged]:
        """The former one opens nothing any more."""
        return [e.PasswordChanged(facts[SECRETS].password)]


class ChangePin(_ChangeSecret, frozen=True, kw_only=True, tag="person.change-pin"):
    """Change your PIN for sign-offs."""

    new_pin: NewPin

    def decide(self, state: PersonState, context: Context, facts: Facts) -> Sequence[e.PinChanged]:
        """The former one signs nothing any more."""
        return [e.PinChanged(facts[SECRETS].pin)]
