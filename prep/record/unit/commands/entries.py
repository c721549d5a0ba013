"""What taking a reading, answering a check and attaching a photo may do."""

from datetime import date
from fractions import Fraction
from typing import Any, Final
from uuid import UUID, uuid5

from prep.record.facts import InstrumentFacts
from prep.record.instrument.fitness import expanded_uncertainty, in_usable_range
from prep.record.procedure.document import InstrumentNeed, Line, Step
from prep.record.refusal import Refusal
from prep.record.roles import Context
from prep.record.unit import events as e
from prep.record.unit.commands.entry_remarks import remarks
from prep.record.unit.commands.handwritten import Writing, copied
from prep.record.unit.guards import box_name, find_line, find_step, open_for_work
from prep.record.unit.limits import decision_rule, exact_text, freeze, interval_of
from prep.record.unit.state import Box, BoxKey, Entry, Record
from prep.rules.conformity.judgment import Verdict, judge
from prep.rules.entries.read import NotMeasured, Question, Typed, Unreadable, read
from prep.rules.quantities.quantity import canonical, decimal_text, show

NO_LIMIT: Final = "no limit given"
REFUSED: Final = frozenset({Verdict.NONCONFORMING, Verdict.NONCONFORMING_GUARD})


def take(
    record: Record,
    context: Context,
    *,
    step: str,
    line: str,
    text: str,
    position: str = "",
    instrument: InstrumentFacts | None = None,
    supersedes: str = "",
    reason: str = "",
    decimal_comma: bool | None = None,
    paper: Writing | None = None,
) -> list[e.Event]:
    """A reading as typed, judged against its limit; raises or closes the flag of its box.

    Refuses an ambiguous entry with the readings possible, junk with what to type instead, and an
    instrument that is missing, of the wrong kind, past due or outside its range.
    """
    where = find_step(record, step)
    what = find_line(where, line, position)
    if not (what.quantity or what.choices):
        raise Refusal("not-a-reading", f"“{what.ask}” is a check: answer yes or no.", field="text")
    source = _open(record, context, where, paper)
    _line_order(record, where, what, position)
    key = (step, line, position)
    replaced = _replaces(record, where, key, supersedes, reason)
    common: dict[str, Any] = {
        "reading": str(context.command),
        "step": step,
        "line": line,
        "position": position,
        "raw": text,
        "remarks": remarks(record, context, what, key, text, on_paper=source is not None),
        "supersedes": replaced,
        "reason": reason,
        "copied_from_paper": source is not None,
        "paper": source,
    }
    if what.choices:
        taken = _choice(record, what, position, text, common)
        return [taken, *_flag_events(record, context, where, key, taken, "")]
    limit = freeze(record, what, position)
    found = read(text, what.quantity, decimal_comma=decimal_comma)
    if isinstance(found, NotMeasured):
        taken = e.ReadingTaken(
            verdict=Verdict.NOT_MEASURED.value, quantity=what.quantity, limit=limit, **common
        )
        return [taken]
    if not isinstance(found, Typed):
        raise _question(found)
    taken, overdue = _measured(what, found, limit, instrument, context, common)
    return [taken, *_flag_events(record, context, where, key, taken, overdue)]


def _open(record: Record, context: Context, step: Step, paper: Writing | None) -> e.Paper | None:
    """Refuse unless an entry may be made in the step now; says where one on paper comes from."""
    open_for_work(record, context, step, on_paper=paper is not None)
    return copied(record, context, step, paper) if paper else None


def _question(found: Question | Unreadable) -> Refusal:
    if isinstance(found, Question):
        return Refusal(
            "ambiguous",
            found.text,
            field="text",
            choices=[{"label": c.label, "entry": c.entry} for c in found.choices],
        )
    return Refusal("unreadable", found.text, field="text")


def _measured(
    line: Line,
    found: Typed,
    limit: e.FrozenLimit | None,
    instrument: InstrumentFacts | None,
    context: Context,
    common: dict[str, Any],
) -> tuple[e.ReadingTaken, str]:
    """The reading judged, and what is wrong with its instrument where the line lets that pass."""
    overdue = _check_instrument(line.instrument, instrument, found, context)
    value = found.measured.canonical()
    unit = canonical(line.quantity)
    uncertainty = expanded_uncertainty(instrument, found.measured) if instrument else Fraction(0)
    verdict, probability = NO_LIMIT, ""
    if limit:
        interval = interval_of(limit)
        assert interval is not None  # a reading of a quantity never has a list as its limit
        judgment = judge(value, interval, decision_rule(limit), uncertainty)
        verdict, probability = judgment.verdict.value, f"{judgment.probability:.4f}"
    taken = e.ReadingTaken(
        verdict=verdict,
        quantity=line.quantity,
        value=exact_text(found.measured.value),
        unit=found.measured.unit.symbol,
        also=show(found.also.value, found.also.unit) if found.also else "",
        canonical=decimal_text(value),
        canonical_unit=unit.symbol,
        limit=limit,
        instrument=instrument,
        expanded_uncertainty=decimal_text(uncertainty, 4) if instrument else "",
        probability=probability,
        **common,
    )
    return taken, overdue


def _choice(
    record: Record, line: Line, position: str, text: str, common: dict[str, Any]
) -> e.ReadingTaken:
    words = {choice.casefold(): choice for choice in line.choices}
    chosen = words.get(text.strip().casefold())
    if chosen is None:
        listed = "; ".join(line.choices)
        raise Refusal("not-a-choice", f"Choose one of: {listed}.", field="text")
    limit = freeze(record, line, position)
    accepted = limit is None or chosen in limit.one_of
    return e.ReadingTaken(
        verdict=(Verdict.CONFORMING if accepted else Verdict.NONCONFORMING).value,
        choice=chosen,
        limit=limit,
        **common,
    )


def complete_check(
    record: Record,
    context: Context,
    *,
    step: str,
    line: str,
    answer: bool,
    position: str = "",
    note: str = "",
    supersedes: str = "",
    reason: str = "",
    paper: Writing | None = None,
) -> list[e.Event]:
    """A yes/no line answered; a no raises a flag, a later yes closes it."""
    where = find_step(record, step)
    what = find_line(where, line, position)
    if what.quantity or what.choices:
        raise Refusal("not-a-check", f"“{what.ask}” wants a value, not yes or no.", field="answer")
    source = _open(record, context, where, paper)
    _line_order(record, where, what, position)
    key = (step, line, position)
    done = e.CheckCompleted(
        check=str(context.command),
        step=step,
        line=line,
        position=position,
        answer=answer,
        note=note,
        supersedes=_replaces(record, where, key, supersedes, reason),
        reason=reason,
        copied_from_paper=source is not None,
        paper=source,
    )
    text = "" if answer else f"{box_name(where, key)}: answered no. {note}".strip()
    return [done, *_raise_or_close(record, context, key, text, "check")]


def attach_photo(
    record: Record,
    context: Context,
    *,
    photo: str,
    step: str,
    line: str,
    digest: str,
    name: str,
    size: int,
    position: str = "",
    note: str = "",
) -> list[e.Event]:
    """A picture for a line. The file itself is stored beside the log."""
    where = find_step(record, step)
    find_line(where, line, position)
    open_for_work(record, context, where)
    return [e.PhotoAttached(photo, step, line, position, digest, name, size, note)]


def _line_order(record: Record, step: Step, line: Line, position: str) -> None:
    """A line may follow others of its step, position by position (tightening in stages)."""
    for code in line.after:
        before = step.by_line[code]
        for place in (position,) if position in before.boxes else before.boxes:
            box = record.boxes.get((step.step, code, place))
            if box is None or box.current is None:
                raise Refusal(
                    "too-early", f"Enter “{box_name(step, (step.step, code, place))}” first."
                )


def _replaces(record: Record, step: Step, key: BoxKey, supersedes: str, reason: str) -> str:
    """Id of the entry a new one replaces; refuses an unasked or unexplained replacement."""
    box = record.boxes.get(key) or Box()
    current = box.current
    if current is None or _is_text_only(current):
        return box.entries[-1].id if box.entries else ""
    if not supersedes:
        raise Refusal(
            "already-entered",
            f"{box_name(step, key)} is already entered. Supersede that entry and say why; "
            "it stays in the record.",
            current=current.id,
        )
    if supersedes != current.id:
        raise Refusal(
            "not-current",
            "The entry you are correcting was itself replaced meanwhile. Look at the present one.",
            field="supersedes",
            current=current.id,
        )
    if not reason.strip():
        raise Refusal("reason-missing", "Say why the earlier entry is replaced.", field="reason")
    return current.id


def _is_text_only(entry: Entry) -> bool:
    return getattr(entry.event, "verdict", "") == Verdict.NOT_MEASURED


def _check_instrument(
    need: InstrumentNeed | None,
    instrument: InstrumentFacts | None,
    found: Typed,
    context: Context,
) -> str:
    """Refuse an unfit instrument; returns the complaint where the line only flags it."""
    if need is None:
        return ""
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
    if not in_usable_range(instrument, found.measured):
        raise Refusal(
            "instrument-out-of-range",
            f"{instrument.name} is good from {instrument.low} to {instrument.high}; the reading "
            "lies outside. Use one whose range covers it.",
            field="instrument",
        )
    return _overdue(need, instrument, context)


def _overdue(need: InstrumentNeed, instrument: InstrumentFacts, context: Context) -> str:
    if not instrument.due or date.fromisoformat(instrument.due) >= context.happened.date():
        return ""
    complaint = f"{instrument.name} was due for calibration on {instrument.due}."
    if need.overdue == "refuse":
        raise Refusal(
            "instrument-overdue",
            f"{complaint} Use one in date; this one goes to calibration.",
            field="instrument",
        )
    return complaint


def _flag_events(
    record: Record,
    context: Context,
    step: Step,
    key: BoxKey,
    taken: e.ReadingTaken,
    overdue: str,
) -> list[e.Event]:
    if taken.verdict in REFUSED:
        text = f"{box_name(step, key)}: {taken.raw} is {taken.verdict}"
        text += f"; the limit is {taken.limit.stated}." if taken.limit else "."
        return _raise_or_close(record, context, key, text, "reading")
    if taken.verdict == Verdict.CONFORMING_GUARD:
        text = f"{box_name(step, key)}: {taken.raw} is too near the limit for this instrument."
        return _raise_or_close(record, context, key, text, "guard band")
    return _raise_or_close(record, context, key, overdue, "instrument")


def _raise_or_close(
    record: Record, context: Context, key: BoxKey, text: str, origin: str
) -> list[e.Event]:
    """Close what stands open on the box; raise anew where `text` says what is wrong now."""
    entry = str(context.command)
    closing: list[e.Event] = []
    if key in record.open_flag_at:
        why = "superseded by a later entry" if text else "a conforming entry"
        closing = [e.FlagClosed(record.open_flag_at[key], reading=entry, text=why)]
    if not text:
        return closing
    step, line, position = key
    flag = e.FlagRaised(
        flag=str(uuid5(UUID(entry), "flag")),
        origin=origin,
        text=text,
        step=step,
        line=line,
        position=position,
        reading=entry,
    )
    return [*closing, flag]
