"""States of accounts and training cards in words, and what kinds of card are called."""

from typing import Final

from django.utils.translation import gettext_noop as _

from prep.record.person.card_states import CardState
from prep.record.person.state import Status
from prep.words.reader import Reader, say

STATES: Final = {
    Status.NONE: _("unknown"),
    Status.INVITED: _("invited"),
    Status.ACTIVE: _("active"),
    Status.SUSPENDED: _("suspended"),
    Status.LEFT: _("no longer here"),
}
CARD_STATES: Final = {
    CardState.VALID: _("valid"),
    CardState.ENDS_SOON: _("ends soon"),
    CardState.EXPIRED: _("EXPIRED"),
}
CARD_KINDS: Final = {
    "tire": _("Tire service"),
    "forklift": _("Forklift"),
    "manufacturer-course": _("Manufacturer's course"),
}
UNITS: Final = {
    "us": _("US customary (in, ft·lbf, psi)"),
    "metric": _("Metric (mm, N·m, kPa)"),
}
NUMBERS: Final = {
    "": _("not said: ask me when it matters"),
    "point": _("point, as in 1.5"),
    "comma": _("comma, as in 1,5"),
}


def person_state(token: str, reader: Reader) -> str:
    """What the state of an account is called."""
    return say(reader, STATES[Status(token)])


def card_state_text(token: str, reader: Reader) -> str:
    """What the state of a training card is called."""
    return say(reader, CARD_STATES[CardState(token)])


def card_kind(token: str, reader: Reader) -> str:
    """What a kind of training card is called."""
    return say(reader, CARD_KINDS[token])


def units_text(token: str, reader: Reader) -> str:
    """What a system of units is called."""
    return say(reader, UNITS[token])


def numbers_text(token: str, reader: Reader) -> str:
    """What a way of writing decimals is called."""
    return say(reader, NUMBERS[token])
