"""Filters of the yard list in words."""

from typing import Final

from django.utils.translation import gettext_noop as _

from prep.words.reader import Reader, say

FILTERS: Final[dict[str, str]] = {
    "here": _("All units"),
    "stock": _("In stock, ready"),
    "buyer": _("Ready for its buyer"),
    "promised": _("Sold, not ready yet"),
    "not": _("Not ready"),
    "flags": _("With open flags"),
    "gone": _("Handed over"),
    "register": _("To be registered"),
    "overdue": _("Registration overdue"),
    "stuck": _("Document failed"),
}
NO_MODEL: Final = _("Model not set")


def filter_title(name: str, reader: Reader) -> str:
    """What a filter is called."""
    return say(reader, FILTERS[name])


def group_title(model_name: str, reader: Reader) -> str:
    """What a group of equal units is called: their model."""
    return model_name or say(reader, NO_MODEL)
