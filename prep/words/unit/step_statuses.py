"""Statuses of steps in words."""

from typing import Final

from django.utils.translation import gettext_noop as _

from prep.record.unit.sheet import Status
from prep.words.reader import Reader, say

STATUSES: Final[dict[Status, str]] = {
    Status.DOES_NOT_APPLY: _("does not apply"),
    Status.NOT_APPLICABLE: _("marked not applicable"),
    Status.AWAITS_TRACTOR: _("waits for the buyer's tractor"),
    Status.AWAITS_STEP: _("waits for an earlier step"),
    Status.TO_DO: _("to do"),
    Status.BEGUN: _("started"),
    Status.FLAGGED: _("flag open"),
    Status.TO_SIGN: _("ready to sign"),
    Status.AWAITS_SECOND: _("waits for the second person"),
    Status.DONE: _("done"),
}


def status_text(status: str, reader: Reader) -> str:
    """What a step's status is called."""
    return say(reader, STATUSES[Status(status)])
