"""Flags that entries raise and close on their boxes."""

from typing import Final
from uuid import UUID, uuid5

from prep.record.procedure.document import Step
from prep.record.roles import Context
from prep.record.unit import events as e
from prep.record.unit.guards import box_name
from prep.record.unit.state import BoxKey, Record
from prep.rules.conformity.judgment import Verdict

REFUSED: Final = frozenset({Verdict.NONCONFORMING, Verdict.NONCONFORMING_GUARD})


def reading_flags(
    record: Record,
    context: Context,
    step: Step,
    key: BoxKey,
    taken: e.ReadingTaken,
    overdue: str,
) -> list[e.Event]:
    """Events that a reading causes for the flag of its box; `overdue` is about its instrument."""
    if taken.verdict == Verdict.NOT_MEASURED:
        return []
    if taken.verdict in REFUSED:
        text = f"{box_name(step, key)}: {taken.raw} is {taken.verdict}"
        text += f"; the limit is {taken.limit.stated}." if taken.limit else "."
        return raise_or_close(record, context, key, text, "reading")
    if taken.verdict == Verdict.CONFORMING_GUARD:
        text = f"{box_name(step, key)}: {taken.raw} is too near the limit for this instrument."
        return raise_or_close(record, context, key, text, "guard band")
    return raise_or_close(record, context, key, overdue, "instrument")


def raise_or_close(
    record: Record, context: Context, key: BoxKey, text: str, origin: str
) -> list[e.Event]:
    """Close the open flag of a box; raise a new one sheet_step `text` says sheet_line is wrong."""
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
