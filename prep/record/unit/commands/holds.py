"""Commands that put a unit on hold and take it off hold."""

from prep.record.refusal import Refusal
from prep.record.roles import MANAGER, SERVICE, Context, require
from prep.record.unit import events as e
from prep.record.unit.guards import not_finished
from prep.record.unit.state import Record


def hold(record: Record, context: Context, *, reason: str) -> list[e.Event]:
    """Put the unit on hold."""
    require(context, SERVICE, "put a unit on hold")
    not_finished(record)
    if not reason.strip():
        raise Refusal("reason-missing", "Say why the unit is held.", field="reason")
    return [e.Held(reason)]


def resume(record: Record, context: Context, *, note: str = "") -> list[e.Event]:
    """Take the unit off hold."""
    require(context, MANAGER, "resume work")
    if record.held is None:
        raise Refusal("not-held", "This unit is not on hold.")
    return [e.Resumed(note)]
