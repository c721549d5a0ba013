"""The list of who looked at personal data, and at what guests looked."""

from functools import reduce
from operator import or_
from typing import Final

from django.db.models import Q, QuerySet

from prep.models import PersonalRead
from prep.queries.listing.declaration import (
    Asker,
    Field,
    Filter,
    Kind,
    Listing,
    Order,
    Row,
    before,
    contains,
    equal,
    since,
)
from prep.words.listings import cell, name_in_list
from prep.words.personal.shown import searched_text


def _rows(asker: Asker) -> QuerySet[PersonalRead]:
    """Readings of what is of the asker's yards."""
    return PersonalRead.objects.filter(_at(asker.sites))


def _at(sites: tuple[str, ...]) -> Q:
    return reduce(or_, (Q(sites__contains=f" {site} ") for site in sites))


def _asked(row: Row, asker: Asker) -> list[str]:
    """The filters of a list in words, as its own page calls them."""
    listing, reader = row["sort"], asker.reader
    asked = dict(row["asked"])
    words = asked.pop("q", 0)
    filters = [
        f"{name_in_list(listing, name, reader)}: {cell(listing, name, value, reader)}"
        for name, value in asked.items()
    ]
    return [*filters, searched_text(words, reader)] if words else filters


PERSONAL_READS: Final = Listing(
    name="personal_reads",
    table=PersonalRead,
    read="personal-read.view",
    rows=_rows,
    fields=(
        Field(name="id", kind=Kind.NUMBER),
        Field(name="at", kind=Kind.MOMENT),
        Field(name="reader", kind=Kind.TOKEN),
        Field(name="reader_name"),
        Field(name="sort", kind=Kind.TOKEN),
        Field(name="subject", kind=Kind.TOKEN),
        Field(name="how", kind=Kind.TOKEN),
        Field(name="rows", kind=Kind.NUMBER),
        Field(
            name="asked",
            kind=Kind.TEXTS,
            of_row=_asked,
            reads=("sort", "asked"),
        ),
        Field(name="sites", kind=Kind.TEXTS, show=lambda stored, _: stored.split()),
    ),
    shown=("reader_name", "at", "sort", "how", "rows", "asked", "subject"),
    orders=(Order("newest", ("at",), descending=True), Order("oldest", ("at",))),
    filters=(
        equal("sort", Kind.TOKEN),
        equal("how", Kind.TOKEN, choices=("page", "api", "document", "list", "export")),
        equal("subject", Kind.TOKEN),
        equal("reader", Kind.TOKEN),
        Filter(
            name="site",
            kind=Kind.TOKEN,
            condition=lambda value, _: Q(sites__contains=f" {value} "),
        ),
        since("since", "at"),
        before("before", "at"),
    ),
    search=contains("reader_name"),
)
