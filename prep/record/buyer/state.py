"""What a buyer's events say of them, without the data: whether these stand, and a legal hold."""

from collections.abc import Iterable
from dataclasses import dataclass

import msgspec

from prep.record.buyer.events import (
    BuyerAdded,
    BuyerDetailsAmended,
    BuyerErased,
    BuyerHeld,
    BuyerHoldLifted,
)


@dataclass(frozen=True)
class BuyerState:
    """A buyer: whether there is one, the reason of the legal hold, and whether they were erased."""

    known: bool = False
    held: str = ""
    erased: bool = False


def fold_buyer(events: Iterable[msgspec.Struct]) -> BuyerState:
    """The state after all of a buyer's events, the first one first."""
    known, held, erased = False, "", False
    for event in events:
        match event:
            case BuyerAdded() | BuyerDetailsAmended():
                known = True
            case BuyerHeld():
                held = event.reason
            case BuyerHoldLifted():
                held = ""
            case BuyerErased():
                erased = True
    return BuyerState(known, held, erased)
