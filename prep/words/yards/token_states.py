"""States of tokens in words."""

from typing import Final

from django.utils.translation import gettext_noop as _

from prep.words.reader import Reader, say

STATES: Final[dict[str, str]] = {
    "good": _("In use"),
    "expired": _("Expired"),
    "revoked": _("Revoked"),
}


def token_state(state: str, reader: Reader) -> str:
    """What a token's state is called."""
    return say(reader, STATES[state])
