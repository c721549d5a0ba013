"""Commands that enter answers on a sheet: readings, settings of tools, checks."""

from collections.abc import Sequence
from typing import Any, ClassVar

from prep.record.command import Facts
from prep.record.fields import (
    Confirmed,
    EntryId,
    FastenersChecked,
    FastenersMoved,
    InstrumentCode,
    LineCode,
    Note,
    Position,
    Reason,
    UnitSymbol,
)
from prep.record.fields import Typed as TypedText
from prep.record.instrument.checks import check_instrument
from prep.record.instrument.needs import INSTRUMENT
from prep.record.moments import Said
from prep.record.needs import DECIMAL_COMMA, ROLES_THEN, WRITER, ZONE
from prep.record.procedure.document import Step
from prep.record.procedure.line import Line, Takes
from prep.record.refusal import Refusal, refusal_of_unread
from prep.record.roles import Context
from prep.record.unit import events as e
from prep.record.unit.commands.handwritten import PaperSource, Writing, copied
from prep.record.unit.entries.flags import (
    check_flags,
    check_no_flag_is_hidden,
    reading_flags,
    setting_flags,
)
from prep.record.unit.entries.judging import check_counts, judged_setting
from prep.record.unit.entries.remarking import contradicts, late, role_differs, same_as
from prep.record.unit.entries.replacing import check_line_order, superseded
from prep.record.unit.entries.taking import choice_of, omitted, reading_of
from prep.record.unit.entries.typed_values import check_extremes, check_plausible, chosen_unit
from prep.record.unit.guards import find_line, find_step, open_for_work
from prep.record.unit.limits import count_of, freeze
from prep.record.unit.state import Record
from prep.record.unit.step_command import StepCommand
from prep.rules.conformity.judgment import Verdict
from prep.rules.entries.read import NotMeasured, Typed, read


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
    which can be sent as `text`. “Not measured, because …” is an answer that never counts.

    `unit` is the unit chosen beside the text: it is that of a bare number, and settles a spelling
    that may stand for it. A unit that is written in the text prevails.
    """

    needs: ClassVar = (INSTRUMENT, WRITER, DECIMAL_COMMA, ROLES_THEN, ZONE)

    text: TypedText
    unit: UnitSymbol = ""
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
            "unit_chosen": self.unit,
            **_entry_fields(state, context, step, line, self, facts),
        }
        if not self.paper:  # entries copied from a page share one time: alike says nothing there
            alike = same_as(state, context, line, key, self.text)
            fields["remarks"] = (*fields["remarks"], *alike)
        if line.choices:
            taken = choice_of(state, line, self.position, self.text, fields)
        else:
            limit = freeze(state, line, self.position)
            chosen = chosen_unit(self.unit, line.quantity)
            entry = read(self.text, line.quantity, decimal_comma=facts[DECIMAL_COMMA], unit=chosen)
            if isinstance(entry, Typed):
                check_extremes(state, self.step, line, self.position, entry.measured)
                asked = contradicts(
                    state, line, self.position, entry.measured, confirmed=self.confirmed
                )
                fields["remarks"] = (*fields["remarks"], *asked)
            taken = reading_of(line, entry, limit, facts, context, fields)
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
        """The line asks for something measured, and no flag of a reading stands in the box."""
        step = find_step(state, self.step)
        line = find_line(step, self.line, self.position)
        if line.takes is Takes.CHECK:
            raise Refusal("not-a-reading", field="because", ask=line.ask)
        key = (self.step, self.line, self.position)
        fields = _entry_fields(state, context, step, line, self, facts)
        check_no_flag_is_hidden(state, step, key)
        fields |= {"reading": str(context.command), "raw": self.because}
        taken = omitted(state, line, self.position, self.because.strip(), fields)
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
    unit: UnitSymbol = ""
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
            "unit_chosen": self.unit,
            "quantity": line.quantity,
            "fasteners": fasteners,
            "checked": self.checked,
            "moved": self.moved,
            "limit": freeze(state, line, self.position),
            **shared,
        }
        chosen = chosen_unit(self.unit, line.quantity)
        entry = read(self.text, line.quantity, decimal_comma=facts[DECIMAL_COMMA], unit=chosen)
        if isinstance(entry, NotMeasured) and entry.because:
            check_no_flag_is_hidden(state, step, key)
            shared |= {"reading": str(context.command), "raw": self.text}
            taken = omitted(state, line, self.position, entry.because, shared)
            return [taken, *reading_flags(state, context, key, taken)]
        if isinstance(entry, NotMeasured):
            done = e.SettingChecked(verdict=Verdict.NOT_MEASURED.value, **fields)
        elif isinstance(entry, Typed):
            check_plausible(entry)
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
    check_line_order(record, step, line, answer.position)
    suspected = line.asked_of == "suspected-fault" and not isinstance(answer, OmitReading)
    if suspected and not answer.reason.strip():
        raise Refusal("suspicion-missing", field="reason", ask=line.ask)
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
