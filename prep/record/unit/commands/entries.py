"""Commands that enter answers on a sheet: take a reading, check a setting, answer a check."""

from collections.abc import Sequence
from typing import Any, ClassVar

from prep.record.command import Facts
from prep.record.entry_refusal import refusal_of_unread
from prep.record.facts import InstrumentFacts
from prep.record.fields import (
    Confirmed,
    EntryId,
    FastenersChecked,
    FastenersMoved,
    InstrumentCode,
    LineCode,
    Note,
    Position,
)
from prep.record.fields import Typed as TypedText
from prep.record.instrument.checks import check_instrument
from prep.record.instrument.needs import INSTRUMENT
from prep.record.moments import Said
from prep.record.needs import DECIMAL_COMMA, ROLES_THEN, WRITER, ZONE
from prep.record.procedure.document import Line, Step, Takes
from prep.record.refusal import Refusal
from prep.record.roles import Context
from prep.record.unit import events as e
from prep.record.unit.commands.handwritten import PaperSource, Writing, copied
from prep.record.unit.entries.flags import check_flags, reading_flags, setting_flags
from prep.record.unit.entries.judging import check_counts, judged_setting, weighed
from prep.record.unit.entries.remarking import contradicts, late, role_differs, same_as
from prep.record.unit.frozen_limit import FrozenLimit
from prep.record.unit.guards import box_name, find_line, find_step, open_for_work
from prep.record.unit.limits import count_of, exact_text, freeze
from prep.record.unit.state import Box, BoxKey, Entry, Record
from prep.record.unit.step_command import StepCommand
from prep.rules.conformity.judgment import Verdict
from prep.rules.entries.read import NotMeasured, Question, Typed, Unreadable, read
from prep.rules.quantities.quantity import show


class Answer(StepCommand, frozen=True, kw_only=True):
    """An answer in a box of the sheet.

    To correct an entry, name it in `supersedes` and say why in `reason`; it stays in the record.
    What is asked on a suspected fault only has the suspicion as its `reason`.
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
    confirmed: Confirmed = False

    def decide(self, state: Record, context: Context, facts: Facts) -> Sequence[e.Event]:
        """The text can be read, and the instrument may take the reading."""
        step = find_step(state, self.step)
        line = find_line(step, self.line, self.position)
        if line.takes not in {Takes.READING, Takes.CHOICE}:
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
            if isinstance(entry, Typed):
                asked = contradicts(
                    state, line, self.position, entry.measured, confirmed=self.confirmed
                )
                fields["remarks"] = (*fields["remarks"], *asked)
            taken = _quantity(line, entry, limit, facts, context, fields)
        return [taken, *reading_flags(state, context, key, taken)]


class CheckSetting(Answer, frozen=True, kw_only=True, tag="setting.check"):
    """Go over fasteners with a tool that clicks: what it was set to, how many, how many moved.

    Nothing is measured. The setting is judged against the limit with the tool's uncertainty; one
    out of its limit, fasteners left out, and fasteners that moved where none may raise a flag.
    """

    needs: ClassVar = (INSTRUMENT, WRITER, DECIMAL_COMMA, ROLES_THEN, ZONE)

    text: TypedText
    checked: FastenersChecked
    moved: FastenersMoved
    instrument: InstrumentCode = ""

    def decide(self, state: Record, context: Context, facts: Facts) -> Sequence[e.Event]:
        """The text can be read, the tool may be used, and the counts can be."""
        step = find_step(state, self.step)
        line = find_line(step, self.line, self.position)
        if line.setting is None:
            raise Refusal("not-a-setting", field="text", ask=line.ask)
        key = (self.step, self.line, self.position)
        shared = _entry_fields(state, context, step, line, self, facts)
        fasteners = count_of(state, line.setting.fasteners, self.position)
        check_counts(fasteners, self.checked, self.moved)
        fields = {
            "setting": str(context.command),
            "raw": self.text,
            "quantity": line.quantity,
            "fasteners": fasteners,
            "checked": self.checked,
            "moved": self.moved,
            "limit": freeze(state, line, self.position),
            **shared,
        }
        entry = read(self.text, line.quantity, decimal_comma=facts[DECIMAL_COMMA])
        if isinstance(entry, NotMeasured):
            done = e.SettingChecked(verdict=Verdict.NOT_MEASURED.value, **fields)
        elif isinstance(entry, Typed):
            known = facts[INSTRUMENT]
            fitness = check_instrument(line.instrument, known, entry, context, facts[ZONE])
            fields["remarks"] = (*fields["remarks"], *fitness.differs)
            tool = known.now if known else None
            done = judged_setting(line.setting, entry, tool, overdue=fitness.overdue, fields=fields)
        else:
            raise refusal_of_unread(entry, "text")
        return [done, *setting_flags(state, context, key, done)]


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
        if line.takes is not Takes.CHECK:
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
    if line.asked_of == "suspected-fault" and not answer.reason.strip():
        raise Refusal("suspicion-missing", field="reason", ask=line.ask)
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
