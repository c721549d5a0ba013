"""Commands that enter answers on a sheet: take a reading, leave it unmeasured, answer a check."""

from collections.abc import Sequence
from fractions import Fraction
from typing import Any, ClassVar

from prep.record.command import Facts
from prep.record.entry_refusal import refusal_of_unread
from prep.record.facts import InstrumentFacts
from prep.record.fields import EntryId, InstrumentCode, LineCode, Note, Position, Reason, UnitSymbol
from prep.record.fields import Typed as TypedText
from prep.record.instrument.checks import check_instrument
from prep.record.instrument.fitness import expanded_uncertainty, uncertainty_at_limits
from prep.record.instrument.needs import INSTRUMENT
from prep.record.moments import Said
from prep.record.needs import DECIMAL_COMMA, ROLES_THEN, WRITER, ZONE
from prep.record.procedure.document import Line, Step
from prep.record.refusal import Refusal
from prep.record.roles import Context
from prep.record.unit import events as e
from prep.record.unit.commands.handwritten import PaperSource, Writing, copied
from prep.record.unit.entries.flags import check_flags, check_no_flag_is_hidden, reading_flags
from prep.record.unit.entries.remarking import late, role_differs, same_as
from prep.record.unit.entries.replacing import check_line_order, superseded
from prep.record.unit.entries.typed_values import check_plausible, chosen_unit
from prep.record.unit.frozen_limit import FrozenLimit
from prep.record.unit.guards import find_line, find_step, open_for_work
from prep.record.unit.limits import decision_rule, exact_text, freeze, interval_of
from prep.record.unit.state import Record
from prep.record.unit.step_command import StepCommand
from prep.rules.conformity.judgment import Verdict, judge
from prep.rules.entries.read import NotMeasured, Question, Typed, Unreadable, read
from prep.rules.quantities.quantity import canonical, decimal_text, show


class Answer(StepCommand, frozen=True, kw_only=True):
    """An answer in a box of the sheet.

    To correct an entry, name it in `supersedes` and say why in `reason`; it stays in the record.
    """

    by_author: ClassVar = True

    line: LineCode
    position: Position = ""
    supersedes: EntryId = ""
    reason: Note = ""
    paper: PaperSource | None = None

    def dated(self) -> Said | None:
        """When a copied entry was written."""
        return Said(self.paper.written, field="paper.written") if self.paper else None

    def writing(self, facts: Facts) -> Writing | None:
        """The source of a copied entry."""
        writer = facts[WRITER]
        if self.paper is None or writer is None:
            return None
        return Writing(str(self.paper.photo), writer)


class TakeReading(Answer, frozen=True, kw_only=True, tag="reading.take"):
    """Take a reading in a box of the sheet, or choose one of its line's choices.

    The text is kept as typed, converted exactly, and judged against the limit with the
    instrument's uncertainty. An out-of-limit reading raises a flag and is returned with advice; an
    in-limit one closes the flag of its box. An ambiguous text is refused with `choices`, each of
    which can be sent as `text`. “Not measured, because …” is an answer that never counts.

    `unit` is the unit chosen beside the text: it is that of a bare number, and settles a spelling
    that may stand for it. A unit that is written in the text prevails.
    """

    needs: ClassVar = (INSTRUMENT, WRITER, DECIMAL_COMMA, ROLES_THEN, ZONE)

    text: TypedText
    unit: UnitSymbol = ""
    instrument: InstrumentCode = ""

    def decide(self, state: Record, context: Context, facts: Facts) -> Sequence[e.Event]:
        """The text can be read, and the instrument may take the reading."""
        step = find_step(state, self.step)
        line = find_line(step, self.line, self.position)
        if not (line.quantity or line.choices):
            raise Refusal("not-a-reading", field="text", ask=line.ask)
        key = (self.step, self.line, self.position)
        fields = {
            "reading": str(context.command),
            "raw": self.text,
            "unit_chosen": self.unit,
            **_entry_fields(state, context, step, line, self, facts),
        }
        if not self.paper:  # entries copied from a page share one time: alike says nothing there
            alike = same_as(state, context, line, key, self.text)
            fields["remarks"] = (*fields["remarks"], *alike)
        if line.choices:
            taken = _choice(state, line, self.position, self.text, fields)
        else:
            limit = freeze(state, line, self.position)
            chosen = chosen_unit(self.unit, line.quantity)
            entry = read(self.text, line.quantity, decimal_comma=facts[DECIMAL_COMMA], unit=chosen)
            taken = _quantity(line, entry, limit, facts, context, fields)
            if taken.because:
                check_no_flag_is_hidden(state, step, key)
        return [taken, *reading_flags(state, context, key, taken)]


class OmitReading(Answer, frozen=True, kw_only=True, tag="reading.omit"):
    """Say that a box was not measured, and why.

    It never counts as a reading: it raises a flag that a reading closes, or a concession. Typing
    “not measured, because …” as a reading does the same.
    """

    needs: ClassVar = (WRITER, ROLES_THEN)

    because: Reason

    def decide(self, state: Record, context: Context, facts: Facts) -> Sequence[e.Event]:
        """The line asks for a reading or a choice, and no flag of a reading stands in the box."""
        step = find_step(state, self.step)
        line = find_line(step, self.line, self.position)
        if not (line.quantity or line.choices):
            raise Refusal("not-a-reading", field="because", ask=line.ask)
        key = (self.step, self.line, self.position)
        fields = _entry_fields(state, context, step, line, self, facts)
        check_no_flag_is_hidden(state, step, key)
        try:
            limit = freeze(state, line, self.position)
        except Refusal:  # it follows from entries that are missing, perhaps for the same reason
            limit = None
        omitted = e.ReadingTaken(
            reading=str(context.command),
            raw=self.because,
            because=self.because.strip(),
            verdict=Verdict.NOT_MEASURED.value,
            quantity=line.quantity,
            limit=limit,
            **fields,
        )
        return [omitted, *reading_flags(state, context, key, omitted)]


class CompleteCheck(Answer, frozen=True, kw_only=True, tag="check.complete"):
    """Answer a yes/no line.

    A no raises a flag; a later yes in the same box closes it.
    """

    needs: ClassVar = (WRITER, ROLES_THEN)

    answer: bool
    note: Note = ""

    def decide(self, state: Record, context: Context, facts: Facts) -> Sequence[e.Event]:
        """The line is a check."""
        step = find_step(state, self.step)
        line = find_line(step, self.line, self.position)
        if line.quantity or line.choices:
            raise Refusal("not-a-check", field="answer", ask=line.ask)
        key = (self.step, self.line, self.position)
        done = e.CheckCompleted(
            check=str(context.command),
            answer=self.answer,
            note=self.note,
            **_entry_fields(state, context, step, line, self, facts),
        )
        return [done, *check_flags(state, context, key, done)]


def _entry_fields(
    record: Record,
    context: Context,
    step: Step,
    line: Line,
    answer: Answer,
    facts: Facts,
) -> dict[str, Any]:
    """Fields that readings and checks share; Refusal unless the entry may be made now."""
    writing = answer.writing(facts)
    open_for_work(record, context, step, on_paper=writing is not None)
    source = copied(record, step, writing) if writing else None
    check_line_order(record, step, line, answer.position)
    key = (step.step, line.line, answer.position)
    return {
        "step": step.step,
        "line": line.line,
        "position": answer.position,
        "supersedes": superseded(record, step, key, answer.supersedes, answer.reason),
        "reason": answer.reason,
        "remarks": (
            *late(context),
            *role_differs(context, step, writing.writer if writing else None, facts[ROLES_THEN]),
        ),
        "copied_from_paper": source is not None,
        "paper": source,
    }


def _quantity(
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
    value = entry.measured.canonical()
    unit = canonical(line.quantity)
    uncertainty = expanded_uncertainty(instrument, value) if instrument else Fraction(0)
    judged: dict[str, Any] = {"verdict": Verdict.NO_LIMIT.value}
    if limit:
        judged = _judged(value, limit, instrument, uncertainty)
    return e.ReadingTaken(
        quantity=line.quantity,
        value=exact_text(entry.measured.value),
        unit=entry.measured.unit.symbol,
        also=show(entry.also.value, entry.also.unit) if entry.also else "",
        canonical=decimal_text(value),
        canonical_unit=unit.symbol,
        limit=limit,
        instrument=instrument,
        expanded_uncertainty=decimal_text(uncertainty) if instrument else "",
        **judged,
        **fields,
    )


def _judged(
    value: Fraction,
    limit: FrozenLimit,
    instrument: InstrumentFacts | None,
    uncertainty: Fraction,
) -> dict[str, Any]:
    """Verdict and probability of a value, and the uncertainties the guard bands follow from."""
    interval = interval_of(limit)
    assert interval is not None  # a reading of a quantity never has a list as its limit
    at_limits = uncertainty_at_limits(instrument, interval)
    judgment = judge(value, interval, decision_rule(limit), uncertainty, at_limits)
    return {
        "verdict": judgment.verdict.value,
        "probability": f"{judgment.probability:.4f}",
        "uncertainty_low": decimal_text(at_limits.low) if instrument and limit.low else "",
        "uncertainty_high": decimal_text(at_limits.high) if instrument and limit.high else "",
    }


def _choice(
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
