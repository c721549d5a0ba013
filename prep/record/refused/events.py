"""Events of a command that a batch brought and that was refused, so that nothing typed is lost."""

from typing import Any

from prep.record.log.reference_event import ReferenceEvent


class CommandRefused(ReferenceEvent, frozen=True, tag="command.refused"):
    """A command that was not taken: what it said, and why it was refused.

    `command` is its id and `asked` its tag. `unit` is the unit it was about, empty for none that
    whoever sent it may see. `fields` are as typed, without personal and secret ones. `author` is
    the user name of whoever the device named, `happened` what the device said. `refusal` is its
    code with its details.
    """

    command: str
    asked: str
    target: str
    unit: str
    fields: dict[str, Any]
    author: str
    happened: str
    refusal: dict[str, Any]


class RefusedSettled(ReferenceEvent, frozen=True, tag="refused.settled"):
    """Somebody looked into a command that was not taken, and needs it no more."""

    reason: str
