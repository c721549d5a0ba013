"""The facts that decisions read from outside their stream."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from prep.record.command import Need
from prep.record.facts import BuyerRef, InstrumentFacts, ModelFacts, TractorFacts, Wording
from prep.record.roles import Actor


@dataclass(frozen=True)
class Picture:
    """A stored picture: its id, the SHA-256 of its file, the file's name, its size in bytes."""

    id: str
    digest: str
    name: str
    size: int


@dataclass(frozen=True)
class Details:
    """A buyer's details as a command leaves them.

    `reference` is to the details after it, `before` the digest of those before it (empty for a new
    buyer), `now` what they say, for the person who is told that somebody else changed them.
    """

    reference: BuyerRef
    changed: bool = True
    before: str = ""
    now: str = ""


# By a field of the command.
MODEL: Final = Need[ModelFacts | None]("model")
TRACTOR: Final = Need[TractorFacts]("tractor")
BUYER: Final = Need[BuyerRef]("buyer")
INSTRUMENT: Final = Need[InstrumentFacts | None]("instrument")
WRITER: Final = Need[Actor | None]("writer")
PICTURE: Final = Need[Picture]("picture")
PERSON: Final = Need[Actor]("person")

# By whoever gives the command.
DECIMAL_COMMA: Final = Need[bool | None]("decimal-comma")
# What they declare by giving it, in the language of their pages.
WORDING: Final = Need[Wording]("wording")

# From a named set, of the record or of the command.
LOOK_ALIKES: Final = Need[Sequence[str]]("look-alikes")

# Digests of personal data kept beside the log.
RECIPIENT: Final = Need[str]("recipient")
PARTICULARS: Final = Need[Details]("particulars")
