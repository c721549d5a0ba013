"""Permission and parameter checks of document requests."""

from typing import Any
from uuid import UUID

import msgspec

from prep.models import Person
from prep.queries.people import sites_of
from prep.queries.units import Seen, seen_by
from prep.record.refusal import Refusal
from prep.record.roles import OFFICE, Role
from prep.record.struct_errors import explain
from reports.document_kind import DocumentKind, Request, Scope
from reports.models import DocumentRequest
from reports.registry import kind_named


def checked(
    kind: DocumentKind, person: Person, command: UUID, unit: UUID | None, sent: dict[str, Any]
) -> Request:
    """A person's checked request; raises Refusal where they may not or the parameters are wrong."""
    if unit is None and kind.scope is Scope.UNIT:
        raise Refusal("unit-missing", "This document belongs to one unit. Say which.", field="unit")
    if unit is not None and kind.scope is Scope.MANY:
        raise Refusal(
            "unit-unwanted", "This document is not of one unit. Ask for it without.", field="unit"
        )
    roles = seen_by(person, unit).roles if unit else _roles_anywhere(person)
    if not roles & kind.asked_by:
        who = " or ".join(_person(role) for role in sorted(kind.asked_by))
        raise Refusal(
            "not-allowed", f"Only {who} may have this document made. Ask one of them to do it."
        )
    return Request(person, command, unit, _parameters(kind, sent), sent)


def may_ask(person: Person, name: str) -> bool:
    """Whether a person may request a document of several units, or of none, at any yard."""
    return bool(_roles_anywhere(person) & kind_named(name).asked_by)


def may_stop(person: Person, request: DocumentRequest, seen: Seen) -> bool:
    """Whether a person may stop or retry a document of a unit seen: the office, or who asked."""
    return bool(seen.roles & OFFICE) or request.person_id == person.pk


def _roles_anywhere(person: Person) -> frozenset[Role]:
    return frozenset(role for held in sites_of(person).values() for role in held)


def _parameters(kind: DocumentKind, sent: dict[str, Any]) -> msgspec.Struct:
    try:
        return msgspec.convert(sent, kind.parameters)
    except msgspec.ValidationError as wrong:
        sentence, path = explain(str(wrong), kind.parameters)
        field = path.partition(".")[0] or "parameters"
        raise Refusal("body-unfit", sentence, field=field) from wrong


def _person(role: Role) -> str:
    """A role with its article: `an auditor`, `sales`."""
    if role is Role.SALES:
        return role.value
    return f"{'an' if role.value[0] in 'aeiou' else 'a'} {role.value}"
