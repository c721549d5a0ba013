"""Meanings of signatures, and why signatures and releases stopped counting, in words."""

from typing import Final

from django.utils.translation import gettext_noop as _

from prep.record.unit.state import (
    HANDED_OVER,
    PREPARED,
    RELEASED,
    SECOND_PERSON,
    Cause,
    Release,
    Reopening,
)
from prep.words.reader import Reader, say

# Meanings that only documents give to a signature: of an entry, and of a concession.
ENTERED: Final = "entered"
WRITTEN_ON_PAPER: Final = "written-on-paper"
CONCEDED: Final = "conceded"

MEANINGS: Final[dict[str, str]] = {
    PREPARED: _("prepared"),
    SECOND_PERSON: _("second person checked"),
    RELEASED: _("released"),
    HANDED_OVER: _("handed over"),
}
# A signature in one line, with its printed name and moment.
LINES: Final[dict[str, str]] = {
    PREPARED: _("prepared by {name}, {moment}"),
    SECOND_PERSON: _("checked by {name} as second person, {moment}"),
    ENTERED: _("entered by {name}, {moment}"),
    WRITTEN_ON_PAPER: _("written on paper by {name}, {moment}"),
    CONCEDED: _("accepted by {name}, {moment}"),
}
# Why a step was re-opened or a release ended, where nobody typed a reason.
CAUSES: Final[dict[Cause, str]] = {
    Cause.PERSON: _("reopened"),
    Cause.TRACTOR_CHANGED: _("the buyer's tractor changed"),
    Cause.MODEL_CORRECTED: _("the model was corrected"),
    Cause.SALE_CANCELED: _("the sale was canceled"),
    Cause.REVISION_CHANGED: _("the procedure has a newer revision"),
    Cause.RELEASE_WITHDRAWN: _("the release was withdrawn"),
    Cause.JOINED: _("the record was joined into another of the same machine"),
    Cause.RELEASED_AGAIN: _("replaced by a later release"),
}

NOTHING_TO_REDO: Final = _("Nothing to be done again, because: {because}")


def meaning(token: str, reader: Reader) -> str:
    """What a signature means."""
    return say(reader, MEANINGS[token])


def signature_line(token: str, name: str, moment: str, reader: Reader) -> str:
    """`prepared by Ada, 25 Nov 2026, 14:05`."""
    return say(reader, LINES[token], name=name, moment=moment)


def with_named(name: str, named: str, reader: Reader) -> str:
    """Who sent an entry, with whom the device named as its author where that is somebody else."""
    return say(reader, "{name}, named {author}", name=name, author=named) if named else name


def reopened_because(reopening: Reopening, reader: Reader) -> str:
    """Why a step was re-opened: as typed, else what happened."""
    return _because(reopening.cause, reopening.reason, reader)


def ended_because(release: Release, reader: Reader) -> str:
    """Why a release ended: as typed, else what happened; empty while it stands."""
    return _because(release.cause, release.reason, reader) if release.cause else ""


def nothing_to_redo(because: str, reader: Reader) -> str:
    """That no work is to be done again, and why; empty without a reason."""
    return say(reader, NOTHING_TO_REDO, because=because) if because else ""


def _because(cause: Cause, typed: str, reader: Reader) -> str:
    if cause is Cause.SALE_CANCELED or not typed:
        return say(reader, CAUSES[cause])
    return typed
