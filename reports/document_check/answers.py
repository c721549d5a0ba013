"""Answers of the checks, the same for the page and the API: tokens for programs, and words.

Nothing in them is personal: no buyer, no recipient, nobody's name, no reason that somebody typed.
"""

from datetime import datetime
from enum import StrEnum

import msgspec


class Standing(StrEnum):
    """Where a document of a number stands, what matters most first."""

    WITHDRAWN = "withdrawn"
    ERASED = "erased"
    REPLACED = "replaced"
    OUT_OF_DATE = "out-of-date"
    GENUINE = "genuine"
    UNKNOWN = "unknown"
    MISSPELLED = "misspelled"


class FileStanding(StrEnum):
    """What a file is, compared with the files that were issued."""

    ISSUED = "issued"
    OF_ANOTHER_NUMBER = "of-another-number"
    ALTERED = "altered"
    UNLISTED = "unlisted"
    UNKNOWN = "unknown"
    UNREADABLE = "unreadable"


class IssuedDocument(msgspec.Struct, frozen=True, kw_only=True):
    """What the log holds of a document, as far as anybody may know it.

    Machine and serial are empty for a document of several units or of none, `site` where it is of
    several yards. `released` is when the release that a certificate proves was signed; `ended` why
    that release stands no more; `erased` when its file was. `replaced_by` is the number to use
    instead. `position` is the entry's place in the log, null until it is sealed; the newest signed
    root is of `size` entries.
    """

    number: str
    kind: str
    title: str
    issued: datetime
    dealership: str
    site: str
    machine: str
    serial: str
    released: datetime | None
    ended: str
    erased: datetime | None
    replaced_by: str
    digest: str
    bytes: int
    position: int | None
    size: int
    time_zone: str


class NumberAnswer(msgspec.Struct, frozen=True, kw_only=True):
    """What a number stands for. `number` is its one spelling, `sentence` the answer in words.

    `likely` are numbers one typing slip away from a misspelled one; that they are named says
    nothing about whether such a document exists.
    """

    number: str
    standing: Standing
    sentence: str
    advice: str
    likely: tuple[str, ...] = ()
    document: IssuedDocument | None = None


class FileFinding(msgspec.Struct, frozen=True, kw_only=True):
    """One finding of a file's examination: `status` is holds, fails, unchecked or note.

    `text` is in English, as the verifier says it that travels in bundles.
    """

    code: str
    status: str
    file: str
    text: str


class FileAnswer(msgspec.Struct, frozen=True, kw_only=True):
    """What a file is: by its SHA-256, else by the signatures and proofs inside it.

    `about` is where the document stands that the file is, or says that it is. `findings` are of an
    examination of its contents, made where the log does not know the file.
    """

    digest: str
    bytes: int
    standing: FileStanding
    sentence: str
    advice: str
    about: NumberAnswer | None = None
    findings: tuple[FileFinding, ...] = ()
