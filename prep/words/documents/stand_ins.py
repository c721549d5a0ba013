"""Documents that stand in for one whose file was lost or damaged, in words."""

from typing import Final

from django.utils.translation import gettext_noop as _

from prep.words.reader import Reader, say

WHY: Final[dict[str, str]] = {
    "lost": _("It stands in for {number}, whose file was lost."),
    "damaged": _("It stands in for {number}, whose file was damaged."),
}
HOW: Final = _(
    "It was made from the same record. The very file of {number} could not be made again: the "
    "program, its fonts, a key or something else outside the record has changed since. Use this "
    "document, not {number}."
)


def stand_in_text(number: str, why: str, reader: Reader) -> str:
    """Which document another stands in for, and why; `why` is what befell its file."""
    return f"{say(reader, WHY[why], number=number)} {say(reader, HOW, number=number)}"
