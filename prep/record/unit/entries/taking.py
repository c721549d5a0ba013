"""Readings and choices as entries: judged, or left unmeasured."""

from typing import Any

from prep.record.command import Facts
from prep.record.facts import InstrumentFacts
from prep.record.instrument.checks import check_instrument
from prep.record.instrument.needs import INSTRUMENT
from prep.record.needs import ZONE
from prep.record.procedure.line import Line
from prep.record.refusal import Refusal, refusal_of_unread
from prep.record.roles import Context
from prep.record.unit import events as e
from prep.record.unit.entries.judging import weighed
from prep.record.unit.entries.typed_values import check_plausible
from prep.record.unit.frozen_limit import FrozenLimit
from prep.record.unit.limits import exact_text, freeze
from prep.record.unit.state import Record
from prep.rules.conformity.judgment import Verdict
from prep.rules.entries.read import NotMeasured, Question, Typed, Unreadable
from prep.rules.quantities.quantity import show


def omitted(
    record: Record, line: Line, position: str, because: str, fields: dict[str, Any]
) -> e.ReadingTaken:
    """A box that was not measured, and why."""
    try:
        limit = freeze(record, line, position)
    except Refusal:  # it follows from entries that are missing, perhaps for the same reason
        limit = None
    return e.ReadingTaken(
        verdict=Verdict.NOT_MEASURED.value,
        quantity=line.quantity,
        because=because,
        limit=limit,
        **fields,
    )


def reading_of(
    line: Line,
    entry: Typed | NotMeasured | Question | Unreadable,
    limit: FrozenLimit | None,
    facts: Facts,
    context: Context,
    fields: dict[str, Any],
) -> e.ReadingTaken:
    """The reading of a quantity."""
    if isinstance(entry, NotMeasured):
        return e.ReadingTaken(
            verdict=Verdict.NOT_MEASURED.value,
            quantity=line.quantity,
            because=entry.because,
            limit=limit,
            **fields,
        )
    if not isinstance(entry, Typed):
        raise refusal_of_unread(entry, "text")
    check_plausible(entry)
    known = facts[INSTRUMENT]
    fitness = check_instrument(line.instrument, known, entry, context, facts[ZONE])
    remarks = (*fields["remarks"], *fitness.differs)
    return _measured(
        line,
        entry,
        limit,
        known.now if known else None,
        {**fields, "remarks": remarks, "overdue": fitness.overdue},
    )


def _measured(
    line: Line,
    entry: Typed,
    limit: FrozenLimit | None,
    instrument: InstrumentFacts | None,
    fields: dict[str, Any],
) -> e.ReadingTaken:
    """A reading judged against its limit."""
    return e.ReadingTaken(
        quantity=line.quantity,
        value=exact_text(entry.measured.value),
        unit=entry.measured.unit.symbol,
        also=show(entry.also.value, entry.also.unit) if entry.also else "",
        limit=limit,
        instrument=instrument,
        **weighed(entry.measured, limit, instrument),
        **fields,
    )


def choice_of(
    record: Record, line: Line, position: str, text: str, fields: dict[str, Any]
) -> e.ReadingTaken:
    words = {choice.casefold(): choice for choice in line.choices}
    chosen = words.get(text.strip().casefold())
    if chosen is None:
        raise Refusal("not-a-choice", field="text", allowed=line.choices)
    limit = freeze(record, line, position)
    verdict = Verdict.NO_LIMIT
    if limit:
        verdict = Verdict.CONFORMING if chosen in limit.one_of else Verdict.NONCONFORMING
    return e.ReadingTaken(verdict=str(verdict), choice=chosen, limit=limit, **fields)
