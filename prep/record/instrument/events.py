"""Events of an instrument's stream."""

from prep.record.facts import InstrumentFacts
from prep.record.log.reference_event import ReferenceEvent


class InstrumentRecorded(ReferenceEvent, frozen=True, tag="instrument.recorded"):
    """An instrument as it now is: registered, calibrated, or taken out of service, and why."""

    facts: InstrumentFacts
    site: str
    reason: str


class InstrumentMoved(ReferenceEvent, frozen=True, tag="instrument.moved"):
    """An instrument as it is, at another yard from now on, and why."""

    facts: InstrumentFacts
    site: str
    reason: str
