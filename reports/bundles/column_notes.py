"""What the columns of a bundle's tables mean, and the tokens in them, for its README."""

from collections.abc import Iterator, Mapping
from typing import Final

from django.utils.translation import gettext_noop as _

from prep.words.reader import Reader, say
from prep.words.unit.flags import CLOSINGS
from prep.words.verdicts import WORDS

# The columns whose name alone does not say what they hold.
COLUMNS: Final[Mapping[str, str]] = {
    "as typed": _("what the person entered; for a check, yes or no"),
    "canonical value": _("the value converted to the unit the limit is checked in"),
    "stands": _("yes where the entry or signature counts, no where it no longer does"),
    "supersedes": _("id of the earlier entry that this one replaced"),
    "happened, recorded": _("when it was done, and when it was entered here"),
    "named by device": _("who made it, by the device of whoever sent it"),
    "copied from paper": _("yes where it was first written on a paper sheet"),
    "remark tokens": _("the remarks for programs, such as late 300 (minutes)"),
    "limit basis": _(
        "whose limit it is: manufacturer, calculated (from the manufacturer's data), standard, or "
        "common-practice"
    ),
    "content sha256": _("digest of exactly what the person signed"),
    "concession": _("the reason typed by whoever accepted the item"),
}


def tokens(reader: Reader) -> Iterator[tuple[str, str]]:
    """Tokens of the columns “verdict” and “closed as”, each with its column and its words."""
    for verdict, words in WORDS.items():
        yield str(verdict), f"verdict: {say(reader, words)}"
    for closing, words in CLOSINGS.items():
        yield str(closing), f"closed as: {say(reader, words)}"
