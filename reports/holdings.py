"""The personal data in issued documents: whose, noted when a file is finished.

A finished file and an erasure meet in the lock of the buyer's row, or of the photo's: whichever
comes second sees the other, so that no file keeps what was erased.
"""

from collections.abc import Iterable
from typing import Any, Final
from uuid import UUID

from prep.actions.locks import share
from prep.models import Buyer, Photo
from prep.record.personal import Personal
from prep.record.refusal import Refusal
from reports.document_kind import Held
from reports.models import DocumentRequest, Holding

TABLES: Final[dict[Personal, Any]] = {Personal.BUYER: Buyer, Personal.PHOTO: Photo}


def keep(document: DocumentRequest, holds: Iterable[Held]) -> None:
    """Note what the file of a document holds; Refusal where any of it was erased meanwhile."""
    for sort, subject in sorted(holds):
        row = share(TABLES[sort], UUID(subject))
        if row is None or row.erased:
            raise Refusal("erased-meanwhile")
        Holding.objects.get_or_create(document=document, sort=sort, subject=subject)


def held_by(document: DocumentRequest) -> frozenset[Held]:
    """What the file of a document holds, its photos of nobody included."""
    held = Holding.objects.filter(document=document).values_list("sort", "subject")
    return frozenset(Held(Personal(sort), subject) for sort, subject in held)


def personal_in(document: DocumentRequest) -> frozenset[Held]:
    """What of it is personal by now: a photo may be marked as showing people afterwards."""
    held = held_by(document)
    photos = [one.subject for one in held if one.sort is Personal.PHOTO]
    marked = Photo.objects.filter(pk__in=photos, people=True).values_list("pk", flat=True)
    people = set(map(str, marked)) if photos else set()
    return frozenset(one for one in held if one.sort is not Personal.PHOTO or one.subject in people)


def is_over(document: DocumentRequest) -> bool:
    """Whether a document's file was erased, or is about to be: nobody opens it any more."""
    if document.erased:
        return True
    subjects: dict[Personal, list[str]] = {}
    for sort, subject in personal_in(document):
        subjects.setdefault(sort, []).append(subject)
    return any(
        TABLES[sort].objects.filter(pk__in=ids).exclude(erased=None).exists()
        for sort, ids in subjects.items()
    )
