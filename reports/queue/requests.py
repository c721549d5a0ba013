"""Permission and parameter checks of document requests."""

from typing import Any
from uuid import UUID

from prep.models import Person
from prep.queries.people import sites_of
from prep.queries.units import Seen, seen_by
from prep.record.refusal import Refusal
from prep.record.roles import OFFICE, Role
from prep.record.struct_errors import convert
from prep.record.token.scopes import allow_roles
from reports.document_kind import DocumentKind, Request, Scope
from reports.models import DocumentRequest
from reports.registry import kind_named


def checked(
    kind: DocumentKind, person: Person, command: UUID, unit: UUID | None, sent: dict[str, Any]
) -> Request:
    """A person's checked request; raises Refusal where they may not or the parameters are wrong."""
    if unit is None and kind.scope is Scope.UNIT:
        raise Refusal("unit-missing", field="unit")
    if unit is not None and kind.scope is Scope.MANY:
        raise Refusal("unit-unwanted", field="unit")
    allow_roles(kind.asked_by, person.access)
    roles = seen_by(person, unit).roles if unit else _roles_anywhere(person)
    if not roles & kind.asked_by:
        raise Refusal("not-allowed", roles=tuple(sorted(kind.asked_by)))
    return Request(person, command, unit, convert(sent, kind.parameters), sent)


def may_ask(person: Person, name: str) -> bool:
    """Whether a person may request a document of several units, or of none, at any yard."""
    return bool(_roles_anywhere(person) & kind_named(name).asked_by)


def may_stop(person: Person, request: DocumentRequest, seen: Seen) -> bool:
    """Whether a person may stop or retry a document of a unit seen: the office, or who asked."""
    return bool(seen.roles & OFFICE) or request.person_id == person.pk


def _roles_anywhere(person: Person) -> frozenset[Role]:
    return frozenset(role for held in sites_of(person).values() for role in held)
