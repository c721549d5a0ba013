"""The fact about an instrument that decisions read from outside their stream."""

from typing import Final

from prep.record.command import Need
from prep.record.instrument.known import KnownInstrument

# By a field of the command.
INSTRUMENT: Final = Need[KnownInstrument | None]("instrument")
