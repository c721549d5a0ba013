"""Commands on what a batch brought and the record did not take: keep it, and settle it."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated, Any, ClassVar

from prep.record.command import Command, Facts, Permission
from prep.record.fields import FILLED, Meta
from prep.record.refusal import Refusal
from prep.record.refused.events import CommandRefused, RefusedSettled
from prep.record.roles import MANAGER, STAFF, Context


@dataclass(frozen=True)
class KeptCommand:
    """A command that was not taken, whose it is, and whether there is anything left to do.

    `people` are the ids of who sent it and of whoever the device named.
    """

    people: frozenset[str]
    settled: bool


class KeepRefused(Command, frozen=True, kw_only=True, tag="refused.keep"):
    """Keep a command of a batch that was refused. Only the service does this."""

    stream: ClassVar[str] = "refused"
    permission: ClassVar = Permission(frozenset())
    creates: ClassVar = True
    offered: ClassVar = False

    site: str
    refused: str
    asked: str
    target: str
    unit: str
    fields: dict[str, Any]
    author: str
    happened: str
    refusal: dict[str, Any]

    def decide(
        self, state: KeptCommand | None, context: Context, facts: Facts
    ) -> Sequence[CommandRefused]:
        """Once for each command and person; the site is the event's."""
        return [
            CommandRefused(
                command=self.refused,
                asked=self.asked,
                target=self.target,
                unit=self.unit,
                fields=self.fields,
                author=self.author,
                happened=self.happened,
                refusal=self.refusal,
            )
        ]


class SettleRefused(Command, frozen=True, kw_only=True, tag="refused.settle"):
    """Settle an entry that was not taken: say what became of it.

    For a service manager, for whoever sent it, and for whoever it was sent for.
    """

    stream: ClassVar[str] = "refused"
    permission: ClassVar = Permission(STAFF)

    reason: Annotated[
        str,
        Meta(
            max_length=2000,
            pattern=FILLED,
            examples=["Entered again at the machine"],
            extra={"long": True},
        ),
    ]

    @classmethod
    def guard(cls, state: KeptCommand, context: Context) -> None:
        """It is open, and this person's to settle."""
        if context.actor.id not in state.people and not context.actor.roles & MANAGER:
            raise Refusal("not-yours-to-settle")
        if state.settled:
            raise Refusal("already-settled")

    def decide(
        self, state: KeptCommand, context: Context, facts: Facts
    ) -> Sequence[RefusedSettled]:
        """It is not asked about again."""
        return [RefusedSettled(self.reason)]
