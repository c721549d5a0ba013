"""Events of a buyer's stream. Personal data stay beside the log; events hold salted digests."""

from prep.record.facts import BuyerRef, Wording
from prep.record.log.reference_event import ReferenceEvent


class BuyerAdded(ReferenceEvent, frozen=True, tag="buyer.added"):
    """A buyer was added at a site."""

    buyer: BuyerRef


class BuyerDetailsAmended(ReferenceEvent, frozen=True, tag="buyer.amended"):
    """A buyer's details were corrected; `buyer` refers to the corrected ones."""

    buyer: BuyerRef


class BuyerErased(ReferenceEvent, frozen=True, tag="buyer.erased"):
    """A buyer's personal data was erased. The references in the log resolve to nothing."""

    reason: str
    wording: Wording


class BuyerHeld(ReferenceEvent, frozen=True, tag="buyer.held"):
    """A buyer's personal data must be kept, whoever asks for their erasure, and why."""

    reason: str
    wording: Wording


class BuyerHoldLifted(ReferenceEvent, frozen=True, tag="buyer.hold_lifted"):
    """A buyer's personal data need not be kept any longer, and why."""

    reason: str
    wording: Wording
