"""What was on record of an instrument, and when."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from prep.record.facts import InstrumentFacts


@dataclass(frozen=True)
class KnownInstrument:
    """An instrument as it is on record now, and each state with when that was recorded, in order.

    A command that happens now needs no earlier states.
    """

    now: InstrumentFacts
    recorded: Sequence[tuple[datetime, InstrumentFacts]] = ()

    def at(self, moment: datetime) -> InstrumentFacts | None:
        """What was on record at a moment, whatever was entered for it later; None for nothing."""
        if not self.recorded:
            return self.now
        known = [facts for recorded, facts in self.recorded if recorded <= moment]
        return known[-1] if known else None


def in_calibration(facts: InstrumentFacts, day: date) -> bool:
    """Whether the calibration is not past due on a day of the yard; on the due day it is not."""
    return not facts.due or day <= date.fromisoformat(facts.due)


def in_service(facts: InstrumentFacts) -> bool:
    """Whether it was not taken out of service."""
    return not facts.out_of_service
