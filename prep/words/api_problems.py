"""What the API answers where no command or read refused: the request never got that far."""

from typing import Any, Final

from django.utils.translation import gettext_noop as _

from prep.words.reader import Reader, say

UNEXPECTED: Final = _(
    "Something went wrong on our end, and it has been logged. Nothing was recorded. Try again in a "
    "moment."
)
UNREADABLE: Final = _("The request cannot be read. Check its body.")

SENTENCES: Final[dict[str, str]] = {
    "authentication-failed": _("This does not prove who you are. Sign in again."),
    "document-unfit": _(
        "The document cannot be published. Fix what is listed, then send it again."
    ),
    "error": UNEXPECTED,
    "invalid": UNREADABLE,
    "method-not-allowed": _("This address does not take {method}. The schema says what it takes."),
    "not-acceptable": _("This address cannot answer in any of the media types you accept."),
    "not-authenticated": _("Sign in first, and send the token you were given."),
    "not-found": _("There is nothing at this address. The schema at /api/v1/schema lists all."),
    "parse-error": UNREADABLE,
    "permission-denied": _("You may not do this."),
    "throttled": _("Too many requests. Try again in {seconds} s."),
    "token-elsewhere": _(
        "This token was made on a device of the yard and works with that device's key only. Send "
        "its Device-Key, or sign in here."
    ),
    "token-ended": _(
        "This token was revoked, or whoever has it does not work at its yard any more. Ask an "
        "administrator of the yard for another."
    ),
    "token-expired": _("This token has expired. Sign in again, or have a new one issued."),
    "token-header": _(
        "The Authorization header cannot be read. Send it once, as “Token”, a space, and one token."
    ),
    "token-mistyped": _(
        "This is not a whole token: a character is wrong or missing. Copy it again, all of it."
    ),
    "token-unknown": _("This token is not valid here. Sign in again, or have a new one issued."),
    "unexpected": UNEXPECTED,
    "unsupported-media-type": _("This address does not take {media_type}. Send what it takes."),
}


def problem_text(code: str, reader: Reader, **values: Any) -> str:
    """What is wrong with the request, and what to do."""
    return say(reader, SENTENCES[code], **values)
