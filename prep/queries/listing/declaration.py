"""What a list is: its fields, filters, search, orders and permission, declared once per noun.

From the declaration follow the API's endpoint with its schema, the page, and the exports as CSV,
XLSX and JSON lines.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property
from typing import Any

from django.db.models import Model, Q, QuerySet

from prep.models import Person
from prep.queries.registrations import today_at
from prep.record.personal import Personal
from prep.words.reader import Reader

Row = dict[str, Any]


class Kind(StrEnum):
    """The type of a field's or a filter's value."""

    TEXT = "text"
    TOKEN = "token"
    NUMBER = "number"
    YES_NO = "yes-no"
    MOMENT = "moment"
    DAY = "day"
    ID = "id"
    TEXTS = "texts"
    REASON = "reason"
    STATE = "state"


@dataclass(frozen=True)
class Asker:
    """Who asks for a list: the sites where they may read it, and how they read.

    `buyers_at` are the sites where they may see buyers as well.
    """

    person: Person
    sites: tuple[str, ...]
    buyers_at: tuple[str, ...]
    reader: Reader

    @cached_property
    def today(self) -> Mapping[str, str]:
        """Today's date at each site; one query, when a list first asks for it."""
        return today_at(self.sites)


@dataclass(frozen=True, kw_only=True)
class Field:
    """A field of a list's rows.

    `source` is the path of its column where that is not its name; `computed` an expression the
    database computes instead, `of_row` what is made of several columns, those in `reads`. `show`
    makes what is answered of what is stored. One that is not `usual` is answered only where it is
    asked for.
    """

    name: str
    kind: Kind = Kind.TEXT
    source: str = ""
    computed: Callable[[Asker], Any] | None = None
    of_row: Callable[[Row, Asker], Any] | None = None
    reads: tuple[str, ...] = ()
    show: Callable[[Any, Asker], Any] | None = None
    usual: bool = True

    @property
    def column(self) -> str:
        """Where its stored value is found."""
        return self.source or self.name


@dataclass(frozen=True, kw_only=True)
class Filter:
    """A filter of a list, and the condition it puts on rows. `choices` are all values it takes."""

    name: str
    condition: Callable[[Any, Asker], Q]
    kind: Kind = Kind.TEXT
    choices: tuple[str, ...] = ()


@dataclass(frozen=True)
class Order:
    """An order of a list: columns that are never null, all ascending or all descending.

    The list's key follows them and settles ties. An index of the table has the same columns; with
    `by_site` another has the site before them.
    """

    name: str
    columns: tuple[str, ...]
    descending: bool = False
    by_site: bool = False


@dataclass(frozen=True, kw_only=True)
class Listing:
    """A list of one noun. `orders` begins with the usual one; `read` names who may see it.

    `shown` are the fields that its page shows, the one that names a row first. `rows` gives the
    rows somebody may see, `site` the column of the site they belong to, by which they are narrowed
    further; empty where `rows` does that itself. `search` gives the condition of one word; words
    combine. `personal` is the sort of personal data its rows are of.
    """

    name: str
    table: type[Model]
    read: str
    rows: Callable[[Asker], QuerySet[Any, Any]]
    site: str = ""
    fields: tuple[Field, ...]
    shown: tuple[str, ...]
    orders: tuple[Order, ...]
    filters: tuple[Filter, ...] = ()
    search: Callable[[str, Asker], Q] | None = None
    key: str = "id"
    personal: Personal | None = None

    @cached_property
    def by_name(self) -> dict[str, Field]:
        """Fields by name."""
        return {field.name: field for field in self.fields}


def equal(name: str, kind: Kind = Kind.TEXT, source: str = "", **more: Any) -> Filter:
    """A filter for rows whose column has exactly the value."""
    column = source or name
    return Filter(name=name, kind=kind, condition=lambda value, _: Q(**{column: value}), **more)


def since(name: str, column: str) -> Filter:
    """A filter for rows whose moment is this one or later."""
    return Filter(
        name=name, kind=Kind.MOMENT, condition=lambda value, _: Q(**{f"{column}__gte": value})
    )


def before(name: str, column: str) -> Filter:
    """A filter for rows whose moment is earlier than this one."""
    return Filter(
        name=name, kind=Kind.MOMENT, condition=lambda value, _: Q(**{f"{column}__lt": value})
    )


def contains(*columns: str) -> Callable[[str, Asker], Q]:
    """A search for rows of which some column has the word, in capital or small letters."""

    def condition(word: str, asker: Asker) -> Q:
        found = Q(pk__in=())
        for column in columns:
            found |= Q(**{f"{column}__icontains": word})
        return found

    return condition
