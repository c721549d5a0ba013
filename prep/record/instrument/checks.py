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
        raise Refusal("instrument-missing", f"Say which {need.kind} was used.", field="instrument")
    if instrument.kind != need.kind:
        raise Refusal(
            "instrument-wrong-kind",
            f"{instrument.name} is a {instrument.kind}; this reading needs a {need.kind}.",
            field="instrument",
        )
    if instrument.out_of_service:
        raise Refusal(
            "instrument-out-of-service",
            f"{instrument.name} is out of service: {instrument.out_of_service}",
            field="instrument",
        )
    if not in_usable_range(instrument, entry.measured):
        raise Refusal(
            "instrument-out-of-range",
            f"{instrument.name} is good from {instrument.low} to {instrument.high}; the reading "
            "lies outside. Use one whose range covers it.",
            field="instrument",
        )
    return _overdue(need, instrument, context)


def _overdue(need: InstrumentNeed, instrument: InstrumentFacts, context: Context) -> bool:
    if not instrument.due or date.fromisoformat(instrument.due) >= context.happened.date():
        return False
    if need.overdue == "refuse":
        raise Refusal(
            "instrument-overdue",
            f"{instrument.name} was due for calibration on {instrument.due}. Use one in date; "
            "this one goes to calibration.",
            field="instrument",
        )
    return True
