"""Commands on a buyer: add, correct the details, hold them for the law, erase them."""

from collections.abc import Mapping, Sequence
from typing import Annotated, ClassVar

import msgspec

from prep.record.buyer.events import (
    BuyerAdded,
    BuyerDetailsAmended,
    BuyerErased,
    BuyerHeld,
    BuyerHoldLifted,
)
from prep.record.buyer.state import BuyerState
from prep.record.command import Command, Facts, Permission
from prep.record.fields import Address, Email, Meta, PersonName, Phone, Pin, Reason, SiteCode
from prep.record.needs import PARTICULARS, WORDING
from prep.record.refusal import Refusal
from prep.record.roles import DESK, OFFICE, Context, Role
from prep.record.unit import events as e
from prep.record.unit.events.erasure import PersonalErased
from prep.record.unit.state import Record

ADMINISTRATOR = Permission(frozenset({Role.ADMINISTRATOR}))


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
            raise Refusal("buyer-changed", field="seen")
        if not details.changed:
            raise Refusal("nothing-changed")
        return [BuyerDetailsAmended(details.reference)]

    def decide_others(
        self, others: Mapping[str, Record], context: Context, facts: Facts
    ) -> Mapping[str, Sequence[msgspec.Struct]]:
        """Each unit of the buyer refers to the corrected details, also after the handover."""
        return {unit: [e.BuyerAmended(facts[PARTICULARS].reference)] for unit in others}


class HoldBuyer(Command, frozen=True, kw_only=True, tag="buyer.hold"):
    """Keep a buyer's personal data for the law: until the hold is lifted, nobody erases them."""

    stream: ClassVar[str] = "buyer"
    permission: ClassVar = ADMINISTRATOR
    needs: ClassVar = (WORDING,)

    reason: Reason
    pin: Pin

    @classmethod
    def guard(cls, state: BuyerState, context: Context) -> None:
        """The data are there, and not held yet."""
        _kept(state)
        if state.held:
            raise Refusal("on-legal-hold", reason=state.held)

    def decide(self, state: BuyerState, context: Context, facts: Facts) -> Sequence[BuyerHeld]:
        """They are held from now on."""
        return [BuyerHeld(self.reason, facts[WORDING])]


class LiftBuyerHold(Command, frozen=True, kw_only=True, tag="buyer.lift-hold"):
    """Lift the legal hold on a buyer's personal data, which may be erased from then on."""

    stream: ClassVar[str] = "buyer"
    permission: ClassVar = ADMINISTRATOR
    needs: ClassVar = (WORDING,)

    reason: Reason
    pin: Pin

    @classmethod
    def guard(cls, state: BuyerState, context: Context) -> None:
        """There is a hold."""
        if not state.held:
            raise Refusal("no-legal-hold")

    def decide(
        self, state: BuyerState, context: Context, facts: Facts
    ) -> Sequence[BuyerHoldLifted]:
        """Nothing holds them any longer."""
        return [BuyerHoldLifted(self.reason, facts[WORDING])]


class EraseBuyer(Command, frozen=True, kw_only=True, tag="buyer.erase"):
    """Erase a buyer's personal data. It cannot be undone.

    The details, the names of who received the units, photos of these that show people, and the
    files of documents that hold any of it. The log keeps references that resolve to nothing, the
    documents' numbers and digests; its proofs stay valid, and so do documents handed out.
    """

    stream: ClassVar[str] = "buyer"
    permission: ClassVar = ADMINISTRATOR
    needs: ClassVar = (WORDING,)
    others: ClassVar = "units-of-buyer"

    reason: Reason
    pin: Pin

    @classmethod
    def guard(cls, state: BuyerState, context: Context) -> None:
        """The data were not erased before, and no legal hold keeps them."""
        _kept(state)
        if state.held:
            raise Refusal("on-legal-hold", reason=state.held)

    def decide(self, state: BuyerState, context: Context, facts: Facts) -> Sequence[BuyerErased]:
        """Nothing of the person is left but the reference."""
        return [BuyerErased(self.reason, facts[WORDING])]

    def decide_others(
        self, others: Mapping[str, Record], context: Context, facts: Facts
    ) -> Mapping[str, Sequence[msgspec.Struct]]:
        """What is erased of each unit of theirs. A sale that goes on still needs its buyer."""
        going_on = sorted(one.serial for one in others.values() if _goes_on(one))
        if going_on:
            raise Refusal("buyer-has-open-sale", serials=tuple(going_on))
        return {unit: [_erased_of(record)] for unit, record in others.items()}


def _goes_on(record: Record) -> bool:
    return record.handover is None and not record.joined_into


def _erased_of(record: Record) -> PersonalErased:
    photos = [photo.photo for photo, _ in record.photos if photo.people]
    recipient = record.handover[0].handover if record.handover else ""
    return PersonalErased(recipient, tuple(photos))


def _kept(state: BuyerState) -> None:
    if state.erased:
        raise Refusal("buyer-erased")
