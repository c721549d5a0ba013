"""Remarks on an entry: entered late, typed the same as its neighbor, by somebody without a role."""

from collections.abc import Iterator
from datetime import timedelta
from fractions import Fraction
from typing import Final

from prep.record.moments import Differs, Trust, judged
from prep.record.procedure.document import Step
from prep.record.procedure.line import Line
from prep.record.refusal import Refusal
from prep.record.roles import Actor, Context, Role
from prep.record.unit.limits import exact_text, expected
from prep.record.unit.remark import Contradicts, Late, SameAs
from prep.record.unit.state import BoxKey, Record
from prep.rules.quantities.quantity import QUANTITIES, Measured, Unit, show

LATE_AFTER: Final = timedelta(hours=1)
COPIED_WITHIN: Final = timedelta(seconds=10)


def late(context: Context) -> Iterator[Late]:
    """A remark on an entry that was recorded long after it happened."""
    delay = context.recorded - context.happened
    if delay > LATE_AFTER:
        yield Late(int(delay.total_seconds()) // 60)


def same_as(
    record: Record, context: Context, line: Line, key: BoxKey, text: str
) -> Iterator[SameAs]:
    """A remark on a value that was just typed at another position of the line."""
    if line.quantity not in QUANTITIES:
        return
    for place in line.boxes:
        box = record.boxes.get((key[0], key[1], place))
        other = box.current if box and place != key[2] else None
        if other is None or getattr(other.event, "raw", None) != text:
            continue
        apart = abs(context.happened - other.stamp.happened)
        if apart <= COPIED_WITHIN:
            yield SameAs(place, apart.seconds)
            return


def contradicts(
    record: Record, line: Line, position: str, typed: Measured, *, confirmed: bool
) -> Iterator[Contradicts]:
    """Ask about a value that differs from what others imply; a remark where it was confirmed."""
    known = expected(record, line, position)
    if known is None or line.expects is None:
        return
    implied, within = known
    if abs(typed.in_unit(implied.unit) - implied.value) <= within:
        return
    value = as_gauged(implied.in_unit(typed.unit), typed.unit)
    if not confirmed:
        raise Refusal(
            "contradicts",
            field="text",
            typed=show(typed.value, typed.unit),
            expected=show(value, typed.unit),
            because=line.expects.because,
        )
    yield Contradicts(exact_text(value), typed.unit.symbol)


def as_gauged(value: Fraction, unit: Unit) -> Fraction:
    """A computed value as a gauge is read: to a 16th of an inch, else to three digits."""
    if unit.symbol == "in":
        return Fraction(round(value * 16), 16)
    return Fraction(f"{float(value):.3g}")


def role_differs(
    context: Context, step: Step, writer: Actor | None, then: frozenset[Role] | None
) -> tuple[Differs, ...]:
    """A remark where whoever made an entry had no role for its step when it happened.

    `then` are the roles they held by the record of that time, None where it does not tell.
    """
    made_it = writer or context.named or context.actor
    held = {role.value for role in (made_it.roles if then is None else then)}
    return judged(Trust.ROLE, happened=bool(held & set(step.who)), recorded=True) or ()
