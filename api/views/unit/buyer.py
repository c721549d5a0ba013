"""Endpoints of a unit's buyer: assign, withdraw."""

from uuid import UUID

from api.inputs import Code, CommandBody, ReasonBody, given
from api.operations import View, commands
from prep.actions import buyers
from prep.actions.write_path import Command, Outcome


class AssignBody(CommandBody, frozen=True, kw_only=True):
    """The buyer and their tractor."""

    buyer: UUID
    tractor: Code


class UnitBuyerView(View):
    """Assigning a buyer."""

    tag = "delivery"

    @commands(if_match="optional")
    def post(self, unit: UUID, command: Command, body: AssignBody) -> Outcome:
        """Mean a unit for a buyer and their tractor.

        Steps that depend on the tractor re-open if the tractor changed.
        """
        return buyers.assign(actor=self.person, command=command, unit=unit, **given(body))


class WithdrawalView(View):
    """Canceling a sale."""

    tag = "delivery"

    @commands(if_match="optional")
    def post(self, unit: UUID, command: Command, body: ReasonBody) -> Outcome:
        """Take a unit back to stock."""
        return buyers.withdraw(actor=self.person, command=command, unit=unit, **given(body))
