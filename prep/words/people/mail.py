"""The mail that brings an invitation or a reset link to whoever it is for."""

from typing import Final

from django.utils.translation import gettext_noop as _

from prep.words.reader import Reader, say

SUBJECTS: Final = {
    "join": _("Your account at {dealer}"),
    "reset": _("New password and PIN at {dealer}"),
}
TEXTS: Final = {
    "join": _(
        "{name}, you were invited to Yardproof at {dealer}. Your user name is {username}.\n\n"
        "Open this link and choose your password and PIN. It works once, until {expires}:\n\n"
        "{link}\n\n"
        "Do not pass it on: whoever opens it signs in your name. If you did not expect it, tell "
        "your administrator.\n"
    ),
    "reset": _(
        "{name}, an administrator of {dealer} lets you choose a new password and PIN. Your user "
        "name is {username}.\n\n"
        "Open this link. It works once, until {expires}:\n\n"
        "{link}\n\n"
        "Do not pass it on: whoever opens it signs in your name. If you did not ask for it, tell "
        "your administrator at once.\n"
    ),
}


def invitation_subject(purpose: str, reader: Reader, *, dealer: str) -> str:
    """The subject of the mail, on one line whatever the dealership is called."""
    return " ".join(say(reader, SUBJECTS[purpose], dealer=dealer).split())


def invitation_text(purpose: str, reader: Reader, **values: str) -> str:
    """The text of the mail."""
    return say(reader, TEXTS[purpose], **values)
