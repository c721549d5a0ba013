"""What the check of a number or of a file found, in words: what is so, and then what to do."""

from typing import Final, Literal

from django.utils.translation import gettext_noop as _

from prep.words.reader import Reader, say

Tone = Literal["yes", "half", "no"]
MARKS: Final[dict[Tone, str]] = {"yes": "●", "half": "◐", "no": "✗"}

# By standing: what is so.
SENTENCES: Final[dict[str, str]] = {
    "withdrawn": _("Withdrawn. Do not rely on this document."),
    "replaced": _("Replaced by {number}. Do not use this one."),
    "erased": _(
        "Issued here by {dealership}; its file was erased on {day}, as the law or the buyer asked."
    ),
    "out-of-date": _("Genuine, but out of date."),
    "genuine": _("Genuine: issued by {dealership}"),
    "unknown": _("No document with this number was issued here. Do not rely on it."),
}
ADVICE: Final[dict[str, str]] = {
    "withdrawn": _("The release it proves no longer stands. Contact the dealership before use."),
    "replaced": _("Look up the new one, and destroy copies of this one."),
    "erased": _(
        "A copy that somebody was given still verifies: choose its file below. The dealership "
        "keeps the record of the work, without the buyer's name."
    ),
    "out-of-date": _(
        "The record changed after it was issued. Ask the dealership for a current document."
    ),
    "genuine": _("Compare the serial number below with the plate on the machine."),
    "unknown": _(
        "The number has no typing mistake in it. Ask the dealership, and show them the document."
    ),
}
# Of documents that are of no single machine.
NO_MACHINE: Final = _("It shows the record as it stood when it was issued.")
TONES: Final[dict[str, Tone]] = {"genuine": "yes", "out-of-date": "half", "erased": "half"}

# By why a text is no number.
MISSPELLINGS: Final[dict[str, str]] = {
    "empty": _("Type the number printed on the document."),
    "too-short": _("A number has {length} characters; this has {count}. Some are missing."),
    "too-long": _("A number has {length} characters; this has {count}."),
    "foreign-character": _(
        "This has characters that no number has. A number begins with a letter; the rest is digits "
        "and letters without accents."
    ),
    "wrong-check": _("There is a typing mistake in this number: its check character does not fit."),
}
LIKELY: Final = _("Did you mean one of these? Compare each with the document.")
LOOK: Final = _("Compare it with the document, character by character.")

# By what a file is.
FILE_SENTENCES: Final[dict[str, str]] = {
    "issued": _("This is exactly the file that was issued."),
    "of-another-number": _("This file is another document: {number}."),
    "altered": _("This file is not as it was issued. Do not rely on it."),
    "unlisted": _("Do not rely on this file: it is signed, but the log does not list it."),
    "unknown": _("This is no file that was issued here. Do not rely on it."),
    "unreadable": _("This file could not be examined. Do not rely on it."),
}
FILE_ADVICE: Final[dict[str, str]] = {
    "issued": _("Nothing in it was changed. The document itself is named on this page."),
    "of-another-number": _("Use the number printed on the file itself."),
    "altered": _("What was changed is listed below. Ask the dealership for the original."),
    "unlisted": _("Ask the dealership, and show them this file."),
    "unknown": _(
        "Choose the file as you received it: a file that was printed, scanned, or saved again is "
        "another one. A file out of a bundle is checked with the whole bundle (ZIP). Otherwise ask "
        "the dealership."
    ),
    "unreadable": _(
        "It is too large, or built to be. Check it with verifier.py on your own computer, or ask "
        "the dealership."
    ),
}


def standing_tone(standing: str) -> Tone:
    """Whether a document may be relied on: yes, half or no."""
    return TONES.get(standing, "no")


def standing_text(standing: str, reader: Reader, **named: str) -> str:
    """Where a document stands; its sentence may name a `dealership`, a `number` and a `day`."""
    return say(reader, SENTENCES[standing], **named)


def standing_advice(standing: str, reader: Reader, *, of_machine: bool = True) -> str:
    """What to do about where a document stands."""
    unbound = standing == "genuine" and not of_machine
    return say(reader, NO_MACHINE if unbound else ADVICE[standing])


def misspelling_text(wrong: str, count: int, length: int, reader: Reader) -> str:
    """Why a text is no document number."""
    return say(reader, MISSPELLINGS[wrong], count=count, length=length)


def correction_text(reader: Reader, *, likely: bool) -> str:
    """What to do about a number with a mistake in it."""
    return say(reader, LIKELY if likely else LOOK)


def file_tone(standing: str, of_document: str) -> Tone:
    """Whether a file may be relied on: one that was issued as far as its document may be."""
    return standing_tone(of_document) if standing == "issued" else "no"


def file_text(standing: str, reader: Reader, *, number: str = "") -> str:
    """What a file is."""
    return say(reader, FILE_SENTENCES[standing], number=number)


def file_advice(standing: str, reader: Reader) -> str:
    """What to do about what a file is."""
    return say(reader, FILE_ADVICE[standing])
