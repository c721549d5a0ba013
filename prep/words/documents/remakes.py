"""What became of making a lost or damaged file again, in words."""

from typing import Final

from django.utils.translation import gettext_noop as _

from prep.words.reader import Reader, say

FOUND: Final[dict[str, str]] = {
    "lost": _("The file was lost."),
    "damaged": _("The file was damaged."),
}
OUTCOMES: Final[dict[str, str]] = {
    "": _("It is being made again."),
    "same": _("It was made again with the same bytes and put back."),
    "stand-in": _("It could not be made again with the same bytes; {number} stands in for it."),
    "intact": _("It was there and intact again before anything was made."),
}
COMING: Final = _("It cannot be made again with the same bytes; one that stands in is being made.")


def remake_text(found: str, outcome: str, number: str, reader: Reader) -> str:
    """What was wrong with a file, and what became of it; `number` is that of what stands in."""
    became = COMING if outcome == "stand-in" and not number else OUTCOMES[outcome]
    return f"{say(reader, FOUND[found])} {say(reader, became, number=number)}"
