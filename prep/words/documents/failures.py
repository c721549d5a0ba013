"""Why a document could not be made, in words, and what happens next."""

from typing import Any, Final

from django.utils.translation import gettext_noop as _

from prep.words.outages import keys
from prep.words.reader import Reader, say

SENTENCES: Final[dict[str, str]] = {
    "database-away": _("The database could not be reached while it was made."),
    "database-busy": _("The database was too busy while it was made."),
    "disk-full": _("The disk for the files is full. Make room on it."),
    "out-of-memory": _("The worker ran out of memory. Give it more, or ask for less at once."),
    "stopped": _(
        "The worker making it stopped unexpectedly: it was shut down, ran out of memory, or lost "
        "power."
    ),
    "storage-closed": _(
        "The service is not allowed to write its files. Give it write access to their folder."
    ),
    "unexpected": _("Unexpected error ({detail}). See the worker log."),
    "waits-for-another": _("Something this document needs is still being made."),
    **keys.SENTENCES,
}
RETRIED: Final = _("Try {number} of {most}: {why} It will be tried again automatically.")
GIVEN_UP: Final = _("Try {number} of {most}: {why} Fix this, then try again.")


def failure_text(code: str, reader: Reader, **values: Any) -> str:
    """Why one try failed."""
    return say(reader, SENTENCES[code], **values)


def try_text(why: str, number: int, most: int, reader: Reader, *, last: bool) -> str:
    """A failed try: which it was, why it failed, and what happens next."""
    return say(reader, GIVEN_UP if last else RETRIED, number=number, most=most, why=why)
