"""Erasing the files of documents that hold personal data which was erased.

The log's reader comes here at each erasure. A document keeps its number, its digest and its event;
its file is deleted while its row is locked, and before that is committed: where it is not, the
reader comes again, and finds nothing left to delete.
"""

from typing import Final
from uuid import UUID

from django.db import transaction
from django.db.models import Q, QuerySet
from django.utils import timezone

from prep.actions import documents
from prep.actions.beside_the_log.buyer_details import erase_details
from prep.actions.beside_the_log.erasure import delete_photo_files, erase_of_unit
from prep.actions.beside_the_log.guests import erase_name
from prep.models import Event
from prep.record.personal import Personal
from prep.record.unit import events as e
from prep.record.unit.commands.documents import RecordErased
from prep.record.unit.events.erasure import PersonalErased
from reports.models import DocumentRequest, Holding, State
from reports.queue import publishing

ERASURES: Final = frozenset({"buyer.erased", "unit.personal_erased"})
GUEST: Final = "guest.erased"  # of whom no document tells


def erased_by(event: Event) -> None:
    """Delete the files that an event of an erasure names, and those of documents."""
    if event.kind == "unit.personal_erased":
        erased = e.decode(event.body)
        assert isinstance(erased, PersonalErased)
        delete_photo_files(erased)
        subjects = Q(sort=Personal.PHOTO, subject__in=erased.photos)
    else:
        subjects = Q(sort=Personal.BUYER, subject=event.stream_id)
    for document in _holding(subjects):
        _erase(document)


def erase_again() -> int:
    """Carry out every erasure of the log once more: a backup may have brought back what went.

    Returns how many there are.
    """
    events = list(Event.objects.filter(kind__in=ERASURES | {GUEST}).order_by("pk"))
    for event in events:
        if event.kind == GUEST:
            erase_name(UUID(event.stream_id), event.recorded)
            continue
        if event.kind == "buyer.erased":
            erase_details(UUID(event.stream_id), event.recorded)
        else:
            erased = e.decode(event.body)
            assert isinstance(erased, PersonalErased)
            erase_of_unit(erased, event.recorded)
        erased_by(event)
    return len(events)


def _holding(subjects: Q) -> QuerySet[DocumentRequest]:
    held = Holding.objects.filter(subjects).values_list("document", flat=True)
    return DocumentRequest.objects.filter(pk__in=held, state=State.DONE, erased=None)


@transaction.atomic
def _erase(document: DocumentRequest) -> None:
    row = DocumentRequest.objects.select_for_update().get(pk=document.pk)
    if row.erased:
        return
    DocumentRequest.objects.filter(pk=row.pk).update(erased=timezone.now())
    erased = RecordErased(document=str(row.pk), number=row.number)
    documents.record_erased(erased, row.unit_id)
    publishing.erase(row)
