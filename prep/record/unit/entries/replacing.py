"""When a box may be answered, and which entry the answer replaces."""

from prep.record.procedure.document import Step
from prep.record.procedure.line import Line
from prep.record.refusal import Refusal
from prep.record.unit.guards import box_name
from prep.record.unit.state import Box, BoxKey, Entry, Record
from prep.rules.conformity.judgment import Verdict


def check_line_order(record: Record, step: Step, line: Line, position: str) -> None:
    """Refuse an entry before those of the lines it comes after, position by position.

    Fasteners are tightened in stages, each bolt in its turn.
    """
    for code in line.after:
        before = step.by_line[code]
        for place in (position,) if position in before.boxes else before.boxes:
            box = record.boxes.get((step.step, code, place))
            if box is None or box.current is None:
                raise Refusal("line-too-early", before=box_name(step, (step.step, code, place)))


def superseded(record: Record, step: Step, key: BoxKey, supersedes: str, reason: str) -> str:
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
