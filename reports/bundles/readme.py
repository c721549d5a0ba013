"""README.txt of a bundle: what it is, what lies in it, and how to check it, for a person."""

from textwrap import fill
from typing import Final

from django.conf import settings

WIDTH: Final = 78

CHECKING: Final = """\
HOW TO CHECK IT

  Without installing anything: open verify.html in a browser, choose the ZIP
  this came in, and read what it says. Nothing leaves your computer; it works
  without a network.

  With Python 3.9 or newer:   python verifier.py THIS-BUNDLE.zip --key KEY

  KEY is one line of text that the dealership publishes for its log. Ask the
  dealership for it, by another way than the one this bundle came. The key in
  data/proof/keys.txt came with the bundle and alone proves nothing about who
  signed. For the same reason a copy of verify.html or verifier.py that you
  kept from before is worth more than the copy in here.

  What is checked: that no file was changed, added or removed (BagIt 1.0,
  RFC 8493); that every event stands in the dealership's sealed log, unchanged
  (RFC 6962); and that the log's checkpoint is signed with the key (Ed25519).

  Any BagIt tool checks the files as well; unpack the ZIP first.
"""

CAUTION: Final = (
    "The maker's manual for the exact serial number, local codes, and licensed or trained "
    "practice come first. Nothing in here replaces them."
)

FILES: Final = (
    ("data/certificate.pdf", "the delivery certificate: readings, limits, signatures"),
    ("data/registration.pdf", "the registration form"),
    ("data/registration.json", "the same form for programs; its shape is stated in"),
    ("", "registration.schema.json beside it (JSON Schema 2020-12)"),
    ("data/readings.csv", "every reading ever taken, superseded ones included"),
    ("data/sign_offs.csv", "every signature: name, moment, meaning"),
    ("data/flags.csv", "every nonconformity and what became of it"),
    ("data/photos/", "the photographs, if any were taken"),
    ("data/events.jsonl", "the unit's entries in the log, one JSON object a line"),
    ("data/proof/", "what ties those entries to the signed log"),
    ("manifest-*.txt", "the digest of every file"),
)

AUDIT_FILES: Final = (
    ("data/index.html", "start here: the units, and a summary of the findings"),
    ("data/units.csv", "every unit as it stood"),
    ("data/findings.csv", "every finding, one a line"),
    *FILES[4:7],
    ("data/certificates/", "the delivery certificates issued"),
    ("data/photos/", "the photographs, a folder a unit"),
    ("data/events.jsonl", "the units' entries in the log, in the order of the log"),
    *FILES[9:],
    ("…-2, …-3 and so on", "where a table or the entries fill more than one file"),
)

TABLES: Final = """\
  The tables are UTF-8 with commas (RFC 4180). Text that a spreadsheet would
  compute as a formula has an apostrophe before it. Moments are in UTC.
"""

PERSONAL: Final = (
    "The registration form names the buyer and the recipient, the certificate names the buyer, and "
    "photographs may show people. The log holds salted digests of the names; registration.json "
    "holds the salts, and its schema says how to compare. Keep the bundle as you keep personal "
    "data."
)


OF_BUYERS: Final = (
    "Certificates name the buyer, and photographs may show people. Keep the bundle as you keep "
    "personal data."
)


def registration(about: str) -> str:
    """README of a registration bundle; `about` names no buyer."""
    return _text("WARRANTY REGISTRATION", about, FILES, PERSONAL)


def audit(about: str) -> str:
    """README of an audit bundle."""
    return _text("AUDIT BUNDLE", about, AUDIT_FILES, OF_BUYERS)


def _text(title: str, about: str, files: tuple[tuple[str, str], ...], personal: str) -> str:
    listed = "\n".join(f"  {name:24}{what}" for name, what in files)
    parts = [
        title,
        fill(about, WIDTH),
        f"WHAT IS IN HERE\n\n{listed}\n\n{TABLES.rstrip()}",
        CHECKING.rstrip(),
        f"QUESTIONS\n\n  {settings.ADDRESS}",
        *([fill(personal, WIDTH)] if personal else []),
        fill(CAUTION, WIDTH),
    ]
    return "\n\n".join(parts) + "\n"
