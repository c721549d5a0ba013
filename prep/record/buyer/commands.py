"""Commands on a buyer: add, correct the details, erase the personal data."""

from collections.abc import Mapping, Sequence
from typing import Annotated, ClassVar

import msgspec

from prep.record.buyer.events import BuyerAdded, BuyerDetailsAmended, BuyerErased
from prep.record.command import Command, Facts, Permission
from prep.record.fields import Address, Email, Meta, PersonName, Phone, SiteCode
from prep.record.needs import PARTICULARS
from prep.record.refusal import Refusal
from prep.record.roles import DESK, OFFICE, Context, Role
from prep.record.unit import events as e
from prep.record.unit.state import Record

BuyerState = BuyerAdded | BuyerDetailsAmended | BuyerErased | None


class AddBuyer(Command, frozen=True, kw_only=True, tag="buyer.add"):
    """Add a buyer. The details are kept beside the log, so that they can be erased."""

    stream: ClassVar[str] = "buyer"
    permission: ClassVar = Permission(DESK | OFFICE)
    creates: ClassVar = True
    needs: ClassVar = (PARTICULARS,)

    site: SiteCode
    name: PersonName
    address: Address = ""
    phone: Phone = ""
    email: Email = ""

    def decide(self, state: BuyerState, context: Context, facts: Facts) -> Sequence[BuyerAdded]:
        """The log holds a salted digest of the details."""
        return [BuyerAdded(facts[PARTICULARS].reference)]


class AmendBuyer(Command, frozen=True, kw_only=True, tag="buyer.amend"):
    """Correct a buyer's details; what is left out stays as it is.

    It is recorded on all of the buyer's units. Documents already issued keep the details they were
    issued with; a registration that failed is tried again. With `seen`, the `seen` of the buyer as
    you read it, the command is refused where somebody corrected the buyer since.
    """

    stream: ClassVar[str] = "buyer"
    permission: ClassVar = Permission(DESK | OFFICE)
    needs: ClassVar = (PARTICULARS,)
    others: ClassVar = "units-of-buyer"

    name: PersonName | None = None
    address: Address | None = None
    phone: Phone | None = None
    email: Email | None = None
    seen: Annotated[str, Meta(max_length=64, extra={"choose": "hidden"})] = ""

    @classmethod
    def guard(cls, state: BuyerState, context: Context) -> None:
        """The buyer's data was not erased."""
        _kept(state)

    def decide(
        self, state: BuyerState, context: Context, facts: Facts
    ) -> Sequence[BuyerDetailsAmended]:
        """Something changes, and nobody else changed it since it was looked at."""
        details = facts[PARTICULARS]
        if self.seen and self.seen != details.before:
            raise Refusal("buyer-changed", field="seen", now=details.now)
        if not details.changed:
            raise Refusal("nothing-changed")
        return [BuyerDetailsAmended(details.reference)]

    def decide_others(
        self, others: Mapping[str, Record], context: Context, facts: Facts
    ) -> Mapping[str, Sequence[msgspec.Struct]]:
        """Each unit of the buyer refers to the corrected details, also after the handover."""
        return {unit: [e.BuyerAmended(facts[PARTICULARS].reference)] for unit in others}


class EraseBuyer(Command, frozen=True, kw_only=True, tag="buyer.erase"):
    """Erase a buyer's personal data.

    The log keeps a reference that resolves to nothing; its proofs stay valid.
    """

    stream: ClassVar[str] = "buyer"
    permission: ClassVar = Permission(frozenset({Role.ADMINISTRATOR}))

    @classmethod
    def guard(cls, state: BuyerState, context: Context) -> None:
        """The buyer's data was not erased before."""
        _kept(state)

    def decide(self, state: BuyerState, context: Context, facts: Facts) -> Sequence[BuyerErased]:
        """Nothing of the person is left but the reference."""
        return [BuyerErased()]


def _kept(state: BuyerState) -> None:
    if isinstance(state, BuyerErased):
        raise Refusal("buyer-erased")
