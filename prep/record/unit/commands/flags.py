"""Commands on nonconformities: raise a flag, close it, grant a concession."""

from prep.record.refusal import Refusal
from prep.record.roles import MANAGER, SERVICE, Context, Role, require
from prep.record.unit import events as e
from prep.record.unit.guards import find_step, unreleased
from prep.record.unit.state import Flag, Record

BOUND_TO_ENTRY = frozenset({"reading", "guard band", "instrument", "check"})


def raise_flag(
    record: Record,
    context: Context,
    *,
    text: str,
    step: str = "",
) -> list[e.Event]:
    """Report something wrong; the flag blocks release until it is fixed or conceded."""
    require(context, SERVICE | {Role.SALES}, "raise flags")
    unreleased(record)
    if not text.strip():
        raise Refusal("text-missing", "Say what is wrong and where.", field="text")
    if step:
        find_step(record, step)
    return [e.FlagRaised(str(context.command), "person", text, step)]


def close(record: Record, context: Context, *, flag: str, text: str) -> list[e.Event]:
    """Close a flag by saying how it was fixed.

    Refuses a flag raised by an entry: it closes by a conforming entry in the same box.
    """
    require(context, SERVICE, "close flags")
    unreleased(record)
    open_flag = _open_flag(record, flag)
    if open_flag.origin in BOUND_TO_ENTRY:
        raise Refusal(
            "needs-entry",
            "This flag stands on an entry. It closes by a conforming entry in the same place, or "
            "by a service manager's concession.",
        )
    if not text.strip():
        raise Refusal("text-missing", "Say what put it right.", field="text")
    return [e.FlagClosed(flag, text=text)]


def concede(record: Record, context: Context, *, flag: str, reason: str) -> list[e.Event]:
    """Grant a concession: the service manager accepts a nonconforming item, with a reason."""
    require(context, MANAGER, "grant a concession")
    unreleased(record)
    open_flag = _open_flag(record, flag)
    if not reason.strip():
        raise Refusal("reason-missing", "A concession needs a reason.", field="reason")
    if open_flag.stamp.actor == context.actor.id:
        raise Refusal(
            "same-person",
            "A concession is granted by somebody other than the person whose entry raised it.",
        )
    return [e.ConcessionGranted(str(context.command), flag, reason)]


def _open_flag(record: Record, flag: str) -> Flag:
    known = record.flags.get(flag)
    if known is None:
        raise Refusal("no-such-flag", "There is no such flag on this unit.", field="flag")
    if not known.open:
        raise Refusal("flag-closed", "This flag is already closed.", field="flag")
    return known
