"""Reading personal data: permitted by the one rule, and noted before anything is shown.

The row is written first. Where it cannot be written, nothing is shown.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Any

from prep.models import Person, PersonalRead
from prep.record.personal import Personal, permit_seeing
from prep.record.roles import Role


class How(StrEnum):
    """By what something was shown."""

    PAGE = "page"
    API = "api"
    DOCUMENT = "document"
    LIST = "list"
    EXPORT = "export"


@dataclass(frozen=True)
class Shown:
    """What one request shows: of which sort, which one, of which yards, how, and how many rows."""

    sort: str
    how: How
    sites: Iterable[str]
    subject: str = ""
    rows: int = 1
    asked: Mapping[str, Any] = field(default_factory=dict)


def show(person: Person, roles: frozenset[Role], sorts: Iterable[Personal], shown: Shown) -> None:
    """Permit somebody with these roles to see personal data, and note it; Refusal otherwise."""
    for sort in sorts:
        permit_seeing(sort, roles)
    note(str(person.pk), str(person), shown)


def note(reader: str, name: str, shown: Shown) -> None:
    """Note that something is shown to somebody: a person by id, or a guest."""
    PersonalRead.objects.create(
        reader=reader,
        reader_name=name,
        sort=shown.sort,
        subject=shown.subject,
        how=shown.how,
        rows=shown.rows,
        asked=dict(shown.asked),
        sites=f" {' '.join(sorted(shown.sites))} ",
    )
