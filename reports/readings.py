"""Who looked at a buyer: at the details, at documents that hold them, at lists of the yard."""

from dataclasses import replace

from django.db.models import Q

from prep.models import Buyer, Person, Photo
from prep.queries.listing.asker import asker_of
from prep.queries.listing.asking import asking
from prep.queries.listing.page import ListPage, page_of
from prep.queries.lists.personal_reads import PERSONAL_READS
from prep.queries.units import units_of_buyer
from prep.record.personal import Personal
from reports.models import Holding


def looked_at(person: Person, buyer: Buyer, *, cursor: str = "", limit: int = 20) -> ListPage:
    """The newest first; Refusal for whoever may not know. A list may have had the buyer in it."""
    asked = replace(asking(PERSONAL_READS, {"site": buyer.site_id}), narrowed=_of(buyer))
    return page_of(asked, asker_of(person, PERSONAL_READS), cursor=cursor, limit=limit)


def _of(buyer: Buyer) -> Q:
    held = Holding.objects.filter(sort=Personal.BUYER, subject=str(buyer.pk))
    photos = Photo.objects.filter(people=True, unit__in=units_of_buyer(buyer.pk))
    subjects = [
        str(buyer.pk),
        *map(str, held.values_list("document", flat=True)),
        *map(str, photos.values_list("pk", flat=True)),
    ]
    return Q(subject__in=subjects) | Q(sort="buyers")
