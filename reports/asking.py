"""Asking for documents: one door a form, which says who may ask, and what it is made for."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Final, TypeVar
from uuid import UUID

import msgspec

from prep.models import Person
from prep.queries.units import Seen, seen_by
from prep.record.refusal import Refusal
from prep.record.roles import OFFICE, Role
from prep.record.unfit import unfit
from reports.models import DocumentRequest

T = TypeVar("T")


@dataclass(frozen=True)
class Wish:
    """Who asks for what. `unit` is None for a document of several units or of none."""

    person: Person
    command: UUID
    unit: UUID | None
    parameters: dict[str, Any]


@dataclass(frozen=True)
class Granted:
    """What the document is made for, and what its builder is told."""

    cause: str
    parameters: dict[str, Any]


# Raises Refusal where this person may not have it, or where it cannot be made yet.
Door = Callable[[Wish], Granted]

# By form. A form without a door is made by the log alone.
DOORS: Final[dict[str, Door]] = {}


def parameters(wish: Wish, form: type[T]) -> T:
    """The parameters of a wish as `form`, strictly."""
    try:
        return msgspec.convert(wish.parameters, form)
    except msgspec.ValidationError as wrong:
        sentence, path = unfit(str(wrong), form)
        field = path.partition(".")[0] or "parameters"
        raise Refusal("body-unfit", sentence, field=field) from wrong


def of_unit(wish: Wish) -> tuple[UUID, Seen]:
    """The unit a document is wanted of, for a person who does more than read there."""
    if wish.unit is None:
        raise Refusal("unit-missing", "This document belongs to one unit. Say which.", field="unit")
    seen = seen_by(wish.person, wish.unit)
    if not seen.roles - {Role.AUDITOR}:
        raise Refusal("not-allowed", "Auditors read documents; ask the office to have one made.")
    return wish.unit, seen


def of_no_unit(wish: Wish) -> None:
    """Refuse a unit where the document is of several or of none."""
    if wish.unit is not None:
        raise Refusal(
            "unit-unwanted", "This document is not of one unit. Ask for it without.", field="unit"
        )


def may_stop(person: Person, request: DocumentRequest, seen: Seen) -> bool:
    """Whether a person may stop or retry a document of a unit seen: the office, or who asked."""
    return bool(seen.roles & OFFICE) or request.person_id == person.pk
