"""What is away that the service needs, in words: for the people who can have it mended."""

from collections.abc import Mapping
from typing import Any, Final
from zoneinfo import ZoneInfo

from django.utils.translation import gettext_noop as _

from prep.words.dates import moment
from prep.words.outages import keys
from prep.words.reader import Reader, say

SENTENCES: Final[dict[str, str]] = {
    "broker-away": _(
        "The message broker does not answer. Nothing is lost: documents, imports and mails are "
        "made once it is back. Start Redis, and check YARDPROOF_REDIS."
    ),
    "database-away": _(
        "The database does not answer. Nothing can be recorded or read. Start it, and check its "
        "address and its disk."
    ),
    "database-busy": _(
        "The database is busy: commands wait too long for their turn. If it lasts, look for what "
        "keeps it."
    ),
    "disk-full": _("The disk is full, so nothing can be recorded. Make room on it."),
    "disk-low": _("Only {left} MB are left on the disk. Make room before it is full."),
    "documents-wait": _(
        "Documents have been waiting since {since}. Start a worker, or look in the worker log for "
        "what keeps it."
    ),
    "not-sealed": _(
        "The log has not been sealed since {since}; no certificates or registrations can be issued "
        "until it is. Look for the cause in the worker log; usually the signing key is missing or "
        "damaged."
    ),
    "storage-closed": _(
        "The service may not write to its own folder. Give that folder to the user this service "
        "runs as."
    ),
    "worker-away": _(
        "No worker has run since {since}: no documents are made and nothing is sealed. Start it "
        "again: worker and beat, or where there are none, the service itself."
    ),
    **keys.SENTENCES,
}
# The page in place of all others, where the service answers with it and where a proxy does.
AGAIN: Final = _("Try again")
NOT_ANSWERING: Final = _("The service is not answering at the moment")
LOOK_FIRST: Final = _(
    "What you sent last may not be recorded: look before you send it again. Try again in a minute; "
    "if it lasts, tell your administrator."
)
WAITING: Final = _("Waiting since {since}. If it takes longer, tell your administrator.")
WAITING_FOR_NOBODY: Final = _(
    "Waiting since {since}: no documents are made at the moment. Tell your administrator. It will "
    "be made as soon as that is fixed."
)


def outage_text(code: str, values: Mapping[str, Any], reader: Reader) -> str:
    """What is away, since when, and what to do about it."""
    return say(reader, SENTENCES[code], **_in_words(values, reader))


def waiting_text(since: Any, reader: Reader, *, worker_away: bool) -> str:
    """A document that has waited for unusually long, for whoever wants it."""
    text = WAITING_FOR_NOBODY if worker_away else WAITING
    return say(reader, text, **_in_words({"since": since}, reader))


def _in_words(values: Mapping[str, Any], reader: Reader) -> dict[str, Any]:
    zone = ZoneInfo(reader.time_zone)
    return {
        name: moment(one.astimezone(zone), reader) if name == "since" else one
        for name, one in values.items()
    }
