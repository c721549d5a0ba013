"""README.txt of a bundle: what it is, what lies in it, and how to check it, for a person."""

from collections.abc import Iterable, Mapping
from textwrap import fill
from typing import Final

from django.conf import settings
from django.utils.translation import gettext_noop as _

from prep.words.reader import Reader, say
from reports.bundles.column_notes import COLUMNS, tokens
from reports.numbers import check_address

WIDTH: Final = 78
INDENT: Final = "  "
TERM: Final = 24  # width of the names in a list
COMMAND: Final = "python verifier.py THIS-BUNDLE.zip --key KEY"

WITHOUT_INSTALLING: Final = _(
    "Without installing anything: open verify.html in a browser, choose the ZIP this came in, and "
    "read the result. Nothing leaves your computer, and it works without a network."
)
WITH_PYTHON: Final = _("With Python 3.9 or newer:")
THE_KEY: Final = (
    _(
        "KEY is one line of text that the dealership publishes for its log. Get it from the "
        "dealership by phone or from its website, not from this bundle. The key in "
        "data/proof/keys.txt came with the bundle and proves nothing about who signed. For the "
        "same reason, a copy of verify.html or verifier.py that you kept from before is worth more "
        "than the copy in here."
    ),
    _(
        "What is checked: that no file was changed, added or removed since the key signed them "
        "(BagIt 1.0, RFC 8493; Ed25519); that every event is in the dealership's sealed log, "
        "unchanged, and none is left out (RFC 6962); and that tables, form, photos and "
        "certificates are what the events say."
    ),
    _("Any BagIt tool checks the files as well. Unpack the ZIP first."),
)
STANDS_NOW: Final = _(
    "Whether it was withdrawn or replaced since, the dealership tells anybody at this address:"
)
MANUAL_FIRST: Final = _(
    "The manufacturer's manual for the exact serial number, local codes, and licensed or trained "
    "practice come first. Nothing in here replaces them."
)

FORM: Final[Mapping[str, str]] = {
    "data/certificate.pdf": _("the delivery certificate: readings, limits, signatures"),
    "data/registration.pdf": _("the registration form"),
    "data/registration.json": _(
        "the same form for programs; registration.schema.json beside it (JSON Schema 2020-12) says "
        "how it is built"
    ),
}
TABLES: Final[Mapping[str, str]] = {
    "data/readings.csv": _("every reading ever taken, replaced ones included"),
    "data/sign_offs.csv": _("every signature: name, date and time, meaning"),
    "data/flags.csv": _("every out-of-limit item or problem, and what became of it"),
}
PROOF: Final[Mapping[str, str]] = {
    "data/proof/": _("what ties those entries to the signed log"),
    "manifest-sha256.txt": _("the digest of every file"),
    "signature.txt": _(
        "what the log's key signed: this document, its place in the log, and all its files"
    ),
}
REGISTRATION_FILES: Final[Mapping[str, str]] = {
    **FORM,
    **TABLES,
    "data/photos/": _("the photos, if any were taken"),
    "data/events.jsonl": _("the unit's entries in the log, one JSON object a line"),
    **PROOF,
}
AUDIT_FILES: Final[Mapping[str, str]] = {
    "data/index.html": _("start here: the units, and a summary of the items to review"),
    "data/units.csv": _("every unit as it stood"),
    "data/findings.csv": _("every item to review, one a line"),
    **TABLES,
    "data/certificates/": _("the delivery certificates issued"),
    "data/photos/": _("the photos, a folder a unit"),
    "data/events.jsonl": _("the units' entries in the log, in the order of the log"),
    **PROOF,
    "…-2, …-3, …": _("where a table or the entries fill more than one file"),
}

ABOUT_TABLES: Final = (
    _(
        "The tables are UTF-8 with commas (RFC 4180). Text that a spreadsheet would compute as a "
        "formula has an apostrophe before it. Moments are in UTC."
    ),
    _(
        "Sentences are in the language of this file. Column names and the words listed below are "
        "the same in every language, so that programs can read them."
    ),
)
PERSONAL: Final = _(
    "The registration form names the buyer and the recipient, the certificate names the buyer, and "
    "photos may show people. The log holds salted digests of the names; registration.json holds "
    "the salts, and its schema says how to compare. Handle this bundle as personal data."
)
OF_BUYERS: Final = _(
    "Certificates name the buyer, and photos may show people. Handle this bundle as personal data."
)


def registration(number: str, about: str, reader: Reader) -> str:
    """README of a registration bundle; `about` names no buyer."""
    title = say(reader, "Warranty registration")
    return _text(number, title, about, REGISTRATION_FILES, PERSONAL, reader)


def audit(number: str, about: str, reader: Reader) -> str:
    """README of an audit bundle."""
    title = say(reader, "Audit bundle")
    return _text(number, title, about, AUDIT_FILES, OF_BUYERS, reader)


def _text(
    number: str,
    title: str,
    about: str,
    files: Mapping[str, str],
    personal: str,
    reader: Reader,
) -> str:
    parts = [
        title.upper(),
        _filled(about),
        say(reader, "What is in this bundle").upper(),
        _listed(files, reader),
        say(reader, "The tables").upper(),
        *_indented(ABOUT_TABLES, reader),
        _listed(COLUMNS, reader),
        _pairs(tokens(reader)),
        say(reader, "How to check it").upper(),
        *_indented((WITHOUT_INSTALLING, WITH_PYTHON), reader),
        f"{2 * INDENT}{COMMAND}",
        *_indented(THE_KEY, reader),
        *_indented((STANDS_NOW,), reader),
        f"{2 * INDENT}{check_address(number)}",
        say(reader, "Questions").upper(),
        f"{INDENT}{settings.ADDRESS}",
        _filled(say(reader, personal)),
        _filled(say(reader, MANUAL_FIRST)),
    ]
    return "\n\n".join(parts) + "\n"


def _indented(texts: Iterable[str], reader: Reader) -> list[str]:
    return [_filled(say(reader, text), INDENT) for text in texts]


def _listed(texts: Mapping[str, str], reader: Reader) -> str:
    return _pairs((name, say(reader, text)) for name, text in texts.items())


def _pairs(pairs: Iterable[tuple[str, str]]) -> str:
    """Names at the left, what they are at the right."""
    return "\n".join(
        _filled(text, f"{INDENT}{name:{TERM}}", " " * (TERM + len(INDENT))) for name, text in pairs
    )


def _filled(text: str, first: str = "", later: str | None = None) -> str:
    """Text in lines that every mail program shows; no file name is broken."""
    return fill(
        text,
        WIDTH,
        initial_indent=first,
        subsequent_indent=first if later is None else later,
        break_long_words=False,
        break_on_hyphens=False,
    )
