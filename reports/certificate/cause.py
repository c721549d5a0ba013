"""What a certificate is made for: a release, and the language where it is not English.

The release makes one in English by itself. Each other language is a document of its own.
"""

from typing import Final

from django.db.models import QuerySet

from reports.models import DocumentRequest

ENGLISH: Final = "en"
MARK: Final = "/"  # between the release and the language


def cause_of(release: str, language: str) -> str:
    """The cause of a release's certificate in a language."""
    return release if language == ENGLISH else f"{release}{MARK}{language}"


def release_of(cause: str) -> str:
    """The release that a certificate is made for."""
    return cause.partition(MARK)[0]


def language_of(cause: str) -> str:
    """The language that a certificate is made in."""
    return cause.partition(MARK)[2] or ENGLISH


def in_english(certificates: QuerySet[DocumentRequest]) -> QuerySet[DocumentRequest]:
    """Those of some certificates that their releases made by themselves."""
    return certificates.exclude(cause__contains=MARK)
