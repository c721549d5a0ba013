"""Units of the sites a person may see."""

from collections.abc import Iterable
from typing import Any, NamedTuple
from uuid import UUID

from prep.models import Membership, Person, Unit
from prep.record.refusal import Refusal
from prep.record.roles import Role


class Seen(NamedTuple):
    """A unit a person may see: its site, its version, and the person's roles at the site."""

    site: str
    version: int
    roles: frozenset[Role]


class Plate(NamedTuple):
    """A unit's machine (manufacturer, serial, model), and the site and dealer that have it."""

    maker: str
    serial: str
    model_name: str
    site: str
    site_name: str
    dealer: str


def seen_by(person: Person, unit: UUID) -> Seen:
    """A unit that a person may see; Refusal where it does not exist or they may not see it."""
    held = Membership.objects.filter(person=person, site__units=unit)
    memberships = list(held.values_list("site_id", "site__units__version", "role"))
    if not memberships:
        raise Refusal("no-such-unit")
    site, version, _ = memberships[0]
    return Seen(site, version, frozenset(Role(role) for _, _, role in memberships))


class KeptReadiness(NamedTuple):
    """Whether a unit is ready and why not, as its row keeps it."""

    version: int
    ready_for_stock: bool
    ready_for_buyer: bool
    reasons: list[dict[str, Any]]


def readiness_of(unit: UUID) -> KeptReadiness:
    """Readiness of a unit now, from its row. One query, however long its history is."""
    rows = Unit.objects.filter(pk=unit)
    return KeptReadiness(*rows.values_list(*KeptReadiness._fields).get())


def plates_of(units: Iterable[UUID]) -> dict[UUID, Plate]:
    """Machine, site and dealer of units, by unit id. One query."""
    rows = Unit.objects.filter(pk__in=set(units))
    columns = ("id", "maker", "serial", "model_name", "site_id", "site__name", "site__dealer")
    return {row[0]: Plate(*row[1:]) for row in rows.values_list(*columns)}
