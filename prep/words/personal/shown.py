"""Personal data in words: what was shown, and how."""

from typing import Final

from django.utils.translation import gettext_noop as _

from prep.words.reader import Reader, say

SORTS: Final[dict[str, str]] = {
    "buyer": _("Buyer"),
    "buyers": _("List of buyers"),
    "certificate": _("Delivery certificate"),
    "registration": _("Warranty registration"),
    "audit": _("Audit bundle"),
    "photo": _("Photo that shows people"),
    "keepers": _("Addresses that keep the checkpoints"),
    "guest": _("Guest"),
    "guests": _("List of guests"),
    "unit": _("Unit, shown to a guest"),
    "units": _("List of units, shown to a guest"),
    "file": _("Document, shown to a guest"),
}
HOWS: Final[dict[str, str]] = {
    "page": _("page"),
    "api": _("API"),
    "document": _("document"),
    "list": _("list"),
    "export": _("export"),
}


def sort_text(sort: str, reader: Reader) -> str:
    """What was shown."""
    return say(reader, SORTS[sort])


def how_text(how: str, reader: Reader) -> str:
    """By what it was shown."""
    return say(reader, HOWS[how])


def searched_text(count: int, reader: Reader) -> str:
    """How many words were searched for; which ones, nobody keeps."""
    return say(reader, _("Words searched for: {count}"), count=count)
