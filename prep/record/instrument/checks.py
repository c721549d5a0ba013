"""Checks of the instrument a reading was taken with, at the two moments of the reading.

A reading happens at one moment and is recorded at another. What the instrument was at each, as far
as was known at each, decides; where the two differ neither is taken for the truth.
"""

from dataclasses import dataclass
from datetime import date, tzinfo

from prep.record.facts import InstrumentFacts
from prep.record.instrument.fitness import in_usable_range
from prep.record.instrument.known import KnownInstrument, in_calibration, in_service
from prep.record.moments import Differs, Trust, judged
from prep.record.procedure.line import InstrumentNeed
from prep.record.refusal import Refusal
from prep.record.roles import Context
from prep.rules.entries.read import Typed


@dataclass(frozen=True)
class Fitness:
    """What an instrument that may take a reading lacks.

    `overdue` says that it was past its calibration at both moments, where the line only flags
    that; `differs` is what it was at one of them only.
    """

    overdue: bool = False
    differs: tuple[Differs, ...] = ()


def check_instrument(
    need: InstrumentNeed | None,
    instrument: KnownInstrument | None,
    entry: Typed,
    context: Context,
    zone: tzinfo,
) -> Fitness:
    """Refuse an instrument that may not take a reading; the days are those of the yard's zone."""
    if need is None:
        return Fitness()
    if instrument is None:
        raise Refusal("instrument-missing", field="instrument", kind=need.kind)
    _check_kind_and_range(need, instrument.now, entry)
    now, then = instrument.now, instrument.at(context.happened)
    known = then or now
    service = judged(
        Trust.SERVICE, happened=then is None or in_service(then), recorded=in_service(now)
    )
    if service is None:
        raise Refusal(
            "instrument-out-of-service",
            field="instrument",
            name=now.name,
            reason=now.out_of_service,
        )
    calibration = judged(
        Trust.CALIBRATION,
        happened=in_calibration(known, context.happened.astimezone(zone).date()),
        recorded=in_calibration(now, context.recorded.astimezone(zone).date()),
    )
    if calibration is None and need.overdue == "refuse":
        due = date.fromisoformat(now.due)
        raise Refusal("instrument-overdue", field="instrument", name=now.name, due=due)
    on_record = judged(Trust.ON_RECORD, happened=then is not None, recorded=True)
    differs = (*(service or ()), *(calibration or ()), *(on_record or ()))
    return Fitness(calibration is None, differs)


def _check_kind_and_range(need: InstrumentNeed, now: InstrumentFacts, entry: Typed) -> None:
    if now.kind != need.kind:
        raise Refusal(
            "instrument-wrong-kind",
            field="instrument",
            name=now.name,
            kind=now.kind,
            needed=need.kind,
        )
    if not in_usable_range(now, entry.measured):
        raise Refusal(
            "instrument-out-of-range",
            field="instrument",
            name=now.name,
            low=now.low,
            high=now.high,
        )
