"""The state of a unit: where it is on its way from the truck to the customer."""

from enum import StrEnum

from prep.record.unit.readiness import Answer, Readiness
from prep.record.unit.state import Record


class UnitState(StrEnum):
    """States of a unit, in the order of its usual course."""

    RECEIVED = "received"
    IN_PREPARATION = "in-preparation"
    ON_HOLD = "on-hold"
    READY_FOR_STOCK = "ready-for-stock"
    READY_FOR_BUYER = "ready-for-buyer"
    RELEASED_FOR_STOCK = "released-for-stock"
    RELEASED_FOR_BUYER = "released-for-buyer"
    HANDED_OVER = "handed-over"
    JOINED = "joined"


_BY_ANSWER = {
    Answer.NOT_READY: UnitState.IN_PREPARATION,
    Answer.READY_FOR_STOCK: UnitState.READY_FOR_STOCK,
    Answer.READY_FOR_BUYER: UnitState.READY_FOR_BUYER,
}


def state_of(record: Record, answer: Readiness) -> UnitState:
    """The state of a unit by its record and its readiness."""
    if record.joined_into:
        return UnitState.JOINED
    if record.handover:
        return UnitState.HANDED_OVER
    if record.release:
        return UnitState(f"released-for-{record.release.event.ready_for}")
    if record.held:
        return UnitState.ON_HOLD
    if record.sheet is None:
        return UnitState.RECEIVED
    return _BY_ANSWER[answer.answer]
