"""States of the warranty registration in words."""

from typing import Final

from django.utils.translation import gettext_noop as _

from prep.record.unit.commands.registrations import Registration, State
from prep.words import dates
from prep.words.reader import Reader, say

STATES: Final[dict[str, str]] = {
    "not-due": _("not due yet"),
    "due": _("not sent yet"),
    "overdue": _("overdue"),
    "sent": _("sent to the manufacturer"),
    "accepted": _("accepted by the manufacturer"),
    "refused": _("refused by the manufacturer"),
}
# Where there is a deadline, and it has not been met.
BY_A_DAY: Final[dict[State, str]] = {
    "due": _("due by {date}"),
    "overdue": _("overdue since {date}"),
}


def registration_text(registration: Registration, reader: Reader) -> str:
    """Where a registration stands, with its deadline while that matters."""
    state, due = registration.state, registration.due
    if due and state in BY_A_DAY:
        return say(reader, BY_A_DAY[state], date=dates.short_day(due, reader))
    return say(reader, STATES[state])


def state_text(state: str, reader: Reader) -> str:
    """Where a registration stands, without its deadline."""
    return say(reader, STATES[state])
