"""Command that attaches a photo to a line of a step."""

from prep.record.roles import Context
from prep.record.unit import events as e
from prep.record.unit.guards import find_line, find_step, open_for_work
from prep.record.unit.state import Record


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
    """Attach a photo to a line. The file itself is stored beside the log."""
    sheet_step = find_step(record, step)
    find_line(sheet_step, line, position)
    open_for_work(record, context, sheet_step)
    return [e.PhotoAttached(photo, step, line, position, digest, name, size, note)]
