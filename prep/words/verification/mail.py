"""The daily mail with the log's checkpoint, to somebody outside who keeps it."""

from typing import Final

from django.utils.translation import gettext_noop as _

from prep.words.reader import Reader, say

SUBJECT: Final = _("{dealer}: checkpoint of the service log, {size} entries")
PARAGRAPHS: Final = (
    _(
        "Please keep this mail. It holds a signed checkpoint of the log in which {dealer} records "
        "how machines are prepared and delivered."
    ),
    _(
        "You need to do nothing now. If somebody ever asks whether that log was rewritten, send "
        "this mail back, or forward it: everything that stood in the log today must then still be "
        "there, unchanged, and this shows whether it is."
    ),
    _(
        "Whoever checks it gives the mail as a file to “manage.py verify --older FILE”, or uploads "
        "it on the Audit page of the service. It does not matter if a mail program wrapped or "
        "quoted the lines below."
    ),
)
REMOVAL: Final = _(
    "You get this once a day. To get no more, ask {dealer} to remove your address on the Audit "
    "page."
)


def mail_subject(reader: Reader, *, dealer: str, size: int) -> str:
    """Its subject, on one line whatever the dealership is called."""
    return " ".join(say(reader, SUBJECT, dealer=dealer, size=size).split())


def mail_text(reader: Reader, *, dealer: str, note: str) -> str:
    """Its text, with the checkpoint in it."""
    said = [say(reader, text, dealer=dealer) for text in PARAGRAPHS]
    return "\n\n".join([*said, note, say(reader, REMOVAL, dealer=dealer), ""])
