"""Commands on an account: record what it is after a change."""

from collections.abc import Sequence
from typing import Annotated, ClassVar

from prep.record.account.events import AccountRecorded
from prep.record.command import Command, Facts, Permission
from prep.record.fields import Meta, Name
from prep.record.roles import Context

Fingerprint = Annotated[str, Meta(max_length=80)]


class RecordAccount(Command, frozen=True, kw_only=True, tag="account.record"):
    """Record what an account is after a change. Only the action that changes it does this."""

    stream: ClassVar[str] = "account"
    permission: ClassVar = Permission(frozenset())
    offered: ClassVar = False

    person: str
    username: Annotated[str, Meta(min_length=1, max_length=150)]
    name: Name
    active: bool
    password_fingerprint: Fingerprint
    pin_fingerprint: Fingerprint

    def decide(self, state: object, context: Context, facts: Facts) -> Sequence[AccountRecorded]:
        """The account is so from now on."""
        return [
            AccountRecorded(
                person=self.person,
                username=self.username,
                name=self.name,
                active=self.active,
                password_fingerprint=self.password_fingerprint,
                pin_fingerprint=self.pin_fingerprint,
            )
        ]
