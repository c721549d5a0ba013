"""Remarks on an entry: entered late, or typed the same as its neighbor."""

from datetime import timedelta
from typing import Final

from prep.record.procedure.document import Line
from prep.record.roles import Context
from prep.record.unit.remark import Late, Remark, SameAs
from prep.record.unit.state import BoxKey, Record
from prep.rules.quantities.quantity import QUANTITIES

LATE_AFTER: Final = timedelta(hours=1)
COPIED_WITHIN: Final = timedelta(seconds=10)


def entry_remarks(
    record: Record, context: Context, line: Line, key: BoxKey, text: str, *, on_paper: bool
) -> tuple[Remark, ...]:
    """Remarks on a value as typed.

    Entries copied from a page share one time, so equal values there get no remark.
    """
    notes: list[Remark] = []
    delay = context.recorded - context.happened
    if delay > LATE_AFTER:
        notes.append(Late(int(delay.total_seconds()) // 60))
    for place in () if on_paper else line.boxes:
        box = record.boxes.get((key[0], key[1], place))
        other = box.current if box and place != key[2] else None
        if other is None or getattr(other.event, "raw", None) != text:
            continue
        apart = abs(context.happened - other.stamp.happened)
        if apart <= COPIED_WITHIN and line.quantity in QUANTITIES:
            notes.append(SameAs(place, apart.seconds))
            break
    return tuple(notes)
