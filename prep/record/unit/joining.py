"""What the joining of two records reads of the one that ends."""

from dataclasses import dataclass
from typing import Final

from prep.record.command import Need
from prep.record.unit.state import Record


@dataclass(frozen=True)
class Joining:
    """The record that ends, and the unit it is joined into, as its plate reads."""

    record: Record
    same_site: bool
    itself: bool
    into: str
    into_maker: str
    into_serial: str


JOINING: Final = Need[Joining]("joining")
