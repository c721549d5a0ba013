"""Commands on missing parts: note one, and record its arrival."""

from prep.record.refusal import Refusal
from prep.record.roles import SERVICE, Context, require
from prep.record.unit import events as e
from prep.record.unit.guards import not_finished, unreleased
from prep.record.unit.state import Record


def note_shortage(
    record: Record,
    context: Context,
    *,
    part: str,
    count: int = 1,
    stops_release: bool = True,
    expected: str = "",
    lent_to: str = "",
) -> list[e.Event]:
    """Note a missing part; `lent_to` names the unit it was taken for."""
    require(context, SERVICE, "note shortages")
    unreleased(record)
    if not part.strip() or count < 1:
        raise Refusal("part-missing", "Say which part is missing and how many.", field="part")
    return [e.ShortageNoted(str(context.command), part, count, stops_release, expected, lent_to)]


def shortage_arrived(
    record: Record, context: Context, *, shortage: str, note: str = ""
) -> list[e.Event]:
    """Record that a missing part arrived."""
    require(context, SERVICE, "book parts in")
    not_finished(record)
    noted = record.shortages.get(shortage)
    if noted is None:
        raise Refusal("no-such-shortage", "No such shortage is noted.", field="shortage")
    if noted.arrived:
        raise Refusal("already-arrived", f"{noted.event.part} has already arrived.")
    return [e.ShortageArrived(shortage, note)]
