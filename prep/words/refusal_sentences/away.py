"""Refusals of what cannot be carried out for the moment, and is nobody's mistake."""

from typing import Final

from django.utils.translation import gettext_noop as _

SENTENCES: Final[dict[str, str]] = {
    "database-away": _(
        "The records cannot be reached at the moment. Nothing was recorded. Try again in {seconds} "
        "s; if it lasts, tell your administrator."
    ),
    "database-busy": _(
        "Many entries are being recorded at the same time, and yours did not get its turn. Nothing "
        "was recorded. Try again in {seconds} s."
    ),
    "disk-full": _(
        "The service's disk is full. Nothing was recorded; what was recorded before can be read. "
        "Tell your administrator, then try again."
    ),
    "storage-closed": _(
        "The service cannot write its files. Nothing was recorded; what was recorded before can be "
        "read. Tell your administrator, then try again."
    ),
}
