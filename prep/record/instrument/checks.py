"""Checks of the instrument a reading was taken with."""

from datetime import date

from prep.record.facts import InstrumentFacts
from prep.record.instrument.fitness import in_usable_range
from prep.record.procedure.document import InstrumentNeed
from prep.record.refusal import Refusal
from prep.record.roles import Context
from prep.rules.entries.read import Typed


def check_instrument(
    need: InstrumentNeed | None,
    instrument: InstrumentFacts | None,
    entry: Typed,
    context: Context,
) -> bool:
    """Refuse an instrument that may not take a reading.

    Returns whether the instrument is past its calibration, where the line only flags that.
    """
    if need is None:
        return False
    if instrument is None:
        raise Refusal("instrument-missing", field="instrument", kind=need.kind)
    if instrument.kind != need.kind:
        raise Refusal(
            "instrument-wrong-kind",
            field="instrument",
            name=instrument.name,
            kind=instrument.kind,
            needed=need.kind,
        )
    if instrument.out_of_service:
        raise Refusal(
            "instrument-out-of-service",
            field="instrument",
            name=instrument.name,
            reason=instrument.out_of_service,
        )
    if not in_usable_range(instrument, entry.measured):
        raise Refusal(
            "instrument-out-of-range",
            field="instrument",
            name=instrument.name,
            low=instrument.low,
            high=instrument.high,
        )
    return _overdue(need, instrument, context)


def _overdue(need: InstrumentNeed, instrument: InstrumentFacts, context: Context) -> bool:
    due = date.fromisoformat(instrument.due) if instrument.due else None
    if due is None or due >= context.happened.date():
        return False
    if need.overdue == "refuse":
        raise Refusal("instrument-overdue", field="instrument", name=instrument.name, due=due)
    return True
