"""Commands that enter answers on a sheet: take a reading, answer a check."""

from collections.abc import Sequence
from fractions import Fraction
from typing import Any, ClassVar

from prep.record.command import Facts
from prep.record.entry_refusal import refusal_of_unread
from prep.record.facts import InstrumentFacts
from prep.record.fields import EntryId, InstrumentCode, LineCode, Note, Position
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
from prep.record.unit.entries.flags import check_flags, reading_flags
from prep.record.unit.entries.remarking import late, role_differs, same_as
from prep.record.unit.frozen_limit import FrozenLimit
from prep.record.unit.guards import box_name, find_line, find_step, open_for_work
from prep.record.unit.limits import decision_rule, exact_text, freeze, interval_of
from prep.record.unit.state import Box, BoxKey, Entry, Record
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
    which can be sent as `text`.
    """

    needs: ClassVar = (INSTRUMENT, WRITER, DECIMAL_COMMA, ROLES_THEN, ZONE)

    text: TypedText
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
            **_entry_fields(state, context, step, line, self, facts),
        }
        if not self.paper:  # entries copied from a page share one time: alike says nothing there
            alike = same_as(state, context, line, key, self.text)
            fields["remarks"] = (*fields["remarks"], *alike)
        if line.choices:
            taken = _choice(state, line, self.position, self.text, fields)
        else:
            limit = freeze(state, line, self.position)
            entry = read(self.text, line.quantity, decimal_comma=facts[DECIMAL_COMMA])
            taken = _quantity(line, entry, limit, facts, context, fields)
        return [taken, *reading_flags(state, context, key, taken)]


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
    _check_line_order(record, step, line, answer.position)
    key = (step.step, line.line, answer.position)
    return {
        "step": step.step,
        "line": line.line,
        "position": answer.position,
        "supersedes": _superseded(record, step, key, answer.supersedes, answer.reason),
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
        verdict = Verdict.NOT_MEASURED.value
        return e.ReadingTaken(verdict=verdict, quantity=line.quantity, limit=limit, **fields)
    if not isinstance(entry, Typed):
        raise refusal_of_unread(entry, "text")
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


def _check_line_order(record: Record, step: Step, line: Line, position: str) -> None:
    """Refuse an entry before those of the lines it comes after, position by position.

    Fasteners are tightened in stages, each bolt in its turn.
    """
    for code in line.after:
        before = step.by_line[code]
        for place in (position,) if position in before.boxes else before.boxes:
            box = record.boxes.get((step.step, code, place))
            if box is None or box.current is None:
                raise Refusal("line-too-early", before=box_name(step, (step.step, code, place)))


def _superseded(record: Record, step: Step, key: BoxKey, supersedes: str, reason: str) -> str:
    """Id of the entry that a new one supersedes, or empty.

    Refuses a new entry in an answered box unless it names the current entry and gives a reason.
    """
    box = record.boxes.get(key) or Box()
    current = box.current
    if current is None or _is_text_only(current):
        return box.entries[-1].id if box.entries else ""
    if not supersedes:
        raise Refusal("already-entered", box=box_name(step, key), current=current.id)
    if supersedes != current.id:
        raise Refusal("not-current", field="supersedes", current=current.id)
    if not reason.strip():
        raise Refusal("reason-missing", field="reason")
    return current.id


def _is_text_only(entry: Entry) -> bool:
    return getattr(entry.event, "verdict", "") == Verdict.NOT_MEASURED
