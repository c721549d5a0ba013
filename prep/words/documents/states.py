"""States of a requested document in words."""

from typing import Final

from django.utils.translation import gettext_noop as _

from prep.words.reader import Reader, say

STATES: Final[dict[str, str]] = {
    "waiting": _("Waiting to be created"),
    "working": _("Being created"),
    "done": _("Created"),
    "failed": _("Document failed"),
    "cancelled": _("Canceled"),
}


def document_state(state: str, reader: Reader) -> str:
    """Where a document stands."""
    return say(reader, STATES[state])
