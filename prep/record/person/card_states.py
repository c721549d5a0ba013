"""Whether a training card holds on a day."""

from datetime import date, timedelta
from enum import StrEnum
from typing import Final

SOON: Final = timedelta(days=30)


class CardState(StrEnum):
    """A card on a day: it holds through its last day."""

    VALID = "valid"
    ENDS_SOON = "ends-soon"
    EXPIRED = "expired"


def card_state(valid_until: date, today: date) -> CardState:
    """The state of a card on a day of the yard.

    >>> card_state(date(2027, 3, 31), date(2027, 3, 31)).value
    'ends-soon'
    >>> card_state(date(2027, 3, 31), date(2027, 4, 1)).value
    'expired'
    """
    if valid_until < today:
        return CardState.EXPIRED
    return CardState.ENDS_SOON if valid_until < today + SOON else CardState.VALID
