"""Commands on a unit's buyer: sell to one, record corrected details, cancel the sale."""

from collections.abc import Sequence
from typing import ClassVar

from prep.record.command import Facts, Permission
from prep.record.fields import BuyerId, Reason, TractorCode
from prep.record.needs import BUYER, TRACTOR
from prep.record.refusal import Refusal
from prep.record.roles import DESK, Context
from prep.record.unit import events as e
from prep.record.unit.guards import not_finished
from prep.record.unit.sheet import begun_steps, tractor_steps
from prep.record.unit.state import Record
from prep.record.unit.unit_command import UnitCommand


class AssignBuyer(UnitCommand, frozen=True, kw_only=True, tag="buyer.assign"):
    """Sell a unit: assign the buyer and their tractor.

    Steps that depend on the tractor re-open if the tractor changed.
    """

    permission: ClassVar = Permission(DESK)
    needs: ClassVar = (BUYER, TRACTOR)

    buyer: BuyerId
    tractor: TractorCode

    @classmethod
    def guard(cls, state: Record, context: Context) -> None:
        """The unit is not released for another buyer."""
        not_finished(state)
        _not_released_for_buyer(state)

    def decide(self, state: Record, context: Context, facts: Facts) -> Sequence[e.Event]:
        """The buyer or the tractor is another than before."""
        buyer, tractor = facts[BUYER], facts[TRACTOR]
        if state.buyer == buyer and state.tractor == tractor:
            raise Refusal("already-assigned")
        changed = state.tractor is not None and state.tractor != tractor
        return [e.BuyerAssigned(buyer, tractor, _begun_tractor_steps(state) if changed else ())]


class WithdrawBuyer(UnitCommand, frozen=True, kw_only=True, tag="buyer.withdraw"):
    """Cancel the sale of a unit; it returns to stock."""

    permission: ClassVar = Permission(DESK)

    reason: Reason

    @classmethod
    def guard(cls, state: Record, context: Context) -> None:
        """The unit is sold, and not released for its buyer."""
        not_finished(state)
        if state.buyer is None:
            raise Refusal("no-buyer")
        _not_released_for_buyer(state)

    def decide(self, state: Record, context: Context, facts: Facts) -> Sequence[e.Event]:
        """Steps that depended on the tractor re-open."""
        return [e.BuyerWithdrawn(self.reason, _begun_tractor_steps(state))]


def _not_released_for_buyer(record: Record) -> None:
    if record.release and record.release.event.ready_for == "buyer":
        raise Refusal("released")


def _begun_tractor_steps(record: Record) -> tuple[str, ...]:
    """Codes of the tractor-dependent steps in which anything was entered, signed or skipped."""
    begun = begun_steps(record)
    return tuple(code for code in tractor_steps(record.procedure) if code in begun)
