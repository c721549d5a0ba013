"""The facts that decisions read from outside their stream."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import tzinfo
from typing import Final

from prep.record.command import Need
from prep.record.facts import BuyerRef, ManufacturerFacts, ModelFacts, TractorFacts, Wording
from prep.record.roles import Actor, Role


@dataclass(frozen=True)
class Picture:
    """A stored picture: its id; digest, name and size of its file; what was sent; a small copy.

    A picture is drawn anew before it is kept, so what was sent has another digest: `sent`, and
    `small` that of its small copy. Each is SHA-256 in hex.
    """

    id: str
    digest: str
    name: str
    size: int
    sent: str
    small: str


@dataclass(frozen=True)
class Details:
    """A buyer's details as a command leaves them.

    `reference` is to the details after it, `before` the digest of those before it (empty for a new
    buyer).
    """

    reference: BuyerRef
    changed: bool = True
    before: str = ""


@dataclass(frozen=True)
class KnownPlate:
    """A unit on record: its id, and its serial as it was read."""

    unit: str
    serial: str


@dataclass(frozen=True)
class Plates:
    """The other units that a serial number may be read off.

    `same` has the serial itself, however it is spelled; `look_alikes` are the serials that a glance
    may take for it.
    """

    same: KnownPlate | None
    look_alikes: Sequence[str]


@dataclass(frozen=True)
class Member:
    """A person by user name, with the roles they hold at a yard.

    `alone` says that the yard, called `yard`, has no other active administrator.
    """

    id: str
    name: str
    roles: frozenset[Role]
    yard: str
    alone: bool


# By a field of the command.
MAKER: Final = Need[ManufacturerFacts]("maker")
MODEL: Final = Need[ModelFacts | None]("model")
TRACTOR: Final = Need[TractorFacts]("tractor")
BUYER: Final = Need[BuyerRef]("buyer")
WRITER: Final = Need[Actor | None]("writer")
PICTURE: Final = Need[Picture]("picture")
MEMBER: Final = Need[Member]("member")

# By the yard: its time zone, by which days are told.
ZONE: Final = Need[tzinfo]("zone")

# By whoever gives the command.
DECIMAL_COMMA: Final = Need[bool | None]("decimal-comma")
# What they declare by giving it, in the language of their pages.
WORDING: Final = Need[Wording]("wording")

# By who made the entry: the roles on record of them when it happened. None where it happened now,
# or before the yard was.
ROLES_THEN: Final = Need[frozenset[Role] | None]("roles-then")

# From a named set, of the record or of the command.
PLATES: Final = Need[Plates]("plates")
# Whether the yard has received no other unit of the model on this day of its calendar.
FIRST_OF_SHIPMENT: Final = Need[bool]("first_of_shipment")
MANUFACTURERS: Final = Need[Sequence[ManufacturerFacts]]("manufacturers")

# Digests of personal data kept beside the log.
DEVICE_KEY: Final = Need[str]("device-key")  # a keyed fingerprint of the digest of its key
KEEPER: Final = Need[BuyerRef]("keeper")
RECIPIENT: Final = Need[str]("recipient")
GUEST: Final = Need[str]("guest")
PARTICULARS: Final = Need[Details]("particulars")
