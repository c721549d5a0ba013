"""Units of the sites a person may see."""

from collections.abc import Iterable
from difflib import SequenceMatcher
from typing import Any, Final, NamedTuple
from uuid import UUID

from prep.models import Membership, Person, Unit
from prep.record.refusal import Refusal
from prep.record.roles import Role
from prep.record.unit.state import Record
from prep.rules.identity.look_alikes import look_alike_key, plain_key

MOST_JOINABLE: Final = 30


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


def units_of_buyer(buyer: UUID) -> list[UUID]:
    """Ids of the units sold to a buyer, by serial number. One query."""
    return list(
        Unit.objects.filter(buyer=str(buyer)).order_by("serial").values_list("pk", flat=True)
    )


def units_with_serials(site: str, serials: Iterable[str]) -> dict[str, UUID]:
    """Ids of a yard's units by their serials as typed, those that there are. One query."""
    typed = {plain_key(serial): serial for serial in serials}
    known = Unit.objects.filter(site_id=site, serial_key__in=typed, joined_into="")
    return {typed[key]: unit for key, unit in known.values_list("serial_key", "pk")}


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


def joinable(record: Record) -> list[tuple[str, str]]:
    """Ids and plates of units whose record may be another of this machine, the likeliest first.

    Those of its yard that are not handed over, by how near their serials are. Two queries.
    """
    goes_on = Unit.objects.filter(joined_into="")
    own = goes_on.filter(
        manufacturer=record.manufacturer, serial_key=plain_key(record.serial)
    ).values_list("pk", "site_id")
    key = look_alike_key(record.serial)
    others = [
        (SequenceMatcher(None, key, alike).ratio(), str(unit), f"{maker} {serial}")
        for mine, site in own
        for unit, alike, maker, serial in goes_on.filter(site_id=site, handed_over=None)
        .exclude(pk=mine)
        .values_list("pk", "look_alike_key", "maker", "serial")
    ]
    return [(unit, plate) for _, unit, plate in sorted(others, reverse=True)[:MOST_JOINABLE]]
