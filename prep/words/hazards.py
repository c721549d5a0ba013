"""Dangerous work, the safe states it needs, and how grave a hazard is, in words."""

from typing import Final

from django.utils.translation import gettext_noop as _

from prep.record.procedure.document import Hazard, Work
from prep.words.reader import Reader, say

STATES: Final = {
    Hazard.DECK_BLOCKED: _("deck blocked"),
    Hazard.WHEELS_CHOCKED: _("wheels chocked"),
    Hazard.CYLINDERS_CYCLED: _("cylinders filled and cycled"),
    Hazard.AREA_CLEAR: _("area clear"),
    Hazard.SHIELDS_FITTED: _("shields fitted"),
    Hazard.FASTENERS_DONE: _("fasteners torqued"),
    Hazard.TIRE_CAGED: _("tire in its cage"),
}

WORK: Final = {
    Work.UNDER_RAISED_DECK: _("under a raised deck"),
    Work.LOCK_OUT: _("taking the transport lock out"),
    Work.UNFOLD: _("unfolding"),
    Work.DRIVE_ENGAGED: _("drive engaged"),
    Work.INFLATE: _("inflating a tire"),
    Work.COUPLE: _("coupling to a tractor"),
}

# How grave a hazard is, by its signal word (ISO 11684).
SEVERITIES: Final = {
    "DANGER": _("DANGER"),
    "WARNING": _("WARNING"),
    "CAUTION": _("CAUTION"),
}


def severity_text(severity: str, reader: Reader) -> str:
    """The signal word of a caution."""
    return say(reader, SEVERITIES[severity])


def state_text(state: Hazard, reader: Reader) -> str:
    """What a safe state is called."""
    return say(reader, STATES[state])


def work_text(work: Work, reader: Reader) -> str:
    """What dangerous work is called."""
    return say(reader, WORK[work])
