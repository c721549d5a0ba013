"""What a certificate is made for: a release, a language, and a correction of the plate.

The release makes one in English by itself. Each other language is a document of its own, and so is
each that says the serial number as it was corrected: `<release>`, `<release>/es`,
`<release>/en/<version of the correction>`.
"""

from typing import Final

from django.db.models import Q, QuerySet

from reports.models import DocumentRequest

ENGLISH: Final = "en"
MARK: Final = "/"  # between the release and the language


def cause_of(release: str, language: str, corrected: int = 0) -> str:
    """The cause of a release's certificate in a language.

    `corrected` is the version of the unit's event that corrected its plate since, 0 for none.
    """
    if corrected:
        return MARK.join((release, language, str(corrected)))
    return release if language == ENGLISH else f"{release}{MARK}{language}"


def release_of(cause: str) -> str:
    """The release that a certificate is made for."""
    return cause.partition(MARK)[0]


def language_of(cause: str) -> str:
    """The language that a certificate is made in."""
    _, _, further = cause.partition(MARK)
    return further.partition(MARK)[0] or ENGLISH


def correction_of(cause: str) -> int:
    """The version of the event that corrected the plate after the release; 0 for none."""
    return int(cause.split(MARK)[2]) if cause.count(MARK) == 2 else 0


def in_english(certificates: QuerySet[DocumentRequest]) -> QuerySet[DocumentRequest]:
    """Those of some certificates that were made by themselves, by a release or a correction."""
    corrected = Q(cause__contains=f"{MARK}{ENGLISH}{MARK}")
    return certificates.filter(~Q(cause__contains=MARK) | corrected)
