"""Views of a unit's past in words: which of the two it is, and what lost a reference."""

from collections.abc import Iterable
from datetime import datetime
from typing import Final

from django.utils.translation import gettext_noop as _

from prep.record.unit.views.past import LeftOut, Past, Reference, View
from prep.words import dates
from prep.words.reader import Reader, say

VIEWS: Final[dict[View, str]] = {
    View.KNOWN_AT: _("As the records stood on {moment}. What was entered later is not shown."),
    View.HAPPENED_BY: _(
        "What had happened by {moment}, by all that is known now. What was entered later but "
        "happened before is shown."
    ),
}
REFERENCES: Final[dict[Reference, str]] = {
    Reference.RECEPTION: _("the receiving of the unit"),
    Reference.SALE: _("the sale"),
    Reference.SHEET: _("the start of the sheet, or its procedure revision"),
    Reference.ENTRY: _("the entry it is about"),
    Reference.FLAG: _("the flag"),
    Reference.SHORTAGE: _("the missing part"),
    Reference.PAGE: _("the photo of the page"),
    Reference.RELEASE: _("the release"),
    Reference.HANDOVER: _("the handover"),
    Reference.DOCUMENT: _("the document it replaces"),
}
WHOLE: Final = _("Entry {version} is left out: {reference} happened later.")
PART: Final = _("Entry {version} is shown without {reference}, which happened later.")


def view_text(past: Past, moment: datetime, reader: Reader) -> str:
    """Which view this is; `moment` bears the yard's time zone."""
    return say(reader, VIEWS[past.view], moment=dates.moment(moment, reader))


def left_out_texts(left_out: Iterable[LeftOut], reader: Reader) -> list[str]:
    """What lost a reference, each in a sentence."""
    return [
        say(
            reader,
            WHOLE if one.whole else PART,
            version=one.version,
            reference=say(reader, REFERENCES[one.reference]),
        )
        for one in left_out
    ]
