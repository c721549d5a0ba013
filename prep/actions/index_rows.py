"""Writing a unit's index rows to their tables, as the record's view `index_rows` derives them."""

from typing import Any
from uuid import UUID

from django.db import models
from django.db.models import F

from prep.models import Flag, Reading, Shortage, SignOff, Unit, UnitCount, UnitStep
from prep.record.unit.views.facets import facets
from prep.record.unit.views.index_rows import Row, Rows

_TABLES: tuple[tuple[str, type[models.Model], str], ...] = (
    ("steps", UnitStep, "step"),
    ("readings", Reading, "id"),
    ("flags", Flag, "id"),
    ("sign_offs", SignOff, "version"),
    ("shortages", Shortage, "id"),
)


def write_rows(unit: UUID, site: str, before: Rows | None, after: Rows) -> None:
    """Write the rows that differ, with at most two statements for each table, and the counts."""
    old = before.unit if before else {}
    changed = {name: value for name, value in after.unit.items() if old.get(name, ...) != value}
    if changed:
        Unit.objects.filter(pk=unit).update(**changed)
    for name, table, key in _TABLES:
        was: dict[str, Row] = getattr(before, name) if before else {}
        now: dict[str, Row] = getattr(after, name)
        _upsert(unit, table, key, [row for k, row in now.items() if was.get(k) != row])
        gone = [row[key] for k, row in was.items() if k not in now]
        if gone:
            table._default_manager.filter(unit_id=unit, **{f"{key}__in": gone}).delete()
    _count(site, facets(before.unit) if before else frozenset(), facets(after.unit))


def _count(site: str, before: frozenset[str], after: frozenset[str]) -> None:
    """Bring the site's counts up to date, in one order, last of all: others wait for these rows."""
    for facet in sorted(before ^ after):
        change = 1 if facet in after else -1
        UnitCount.objects.filter(site=site, facet=facet).update(units=F("units") + change)


def _upsert(unit: UUID, table: type[models.Model], key: str, changed: list[Row]) -> None:
    if not changed:
        return
    update = [name for name in changed[0] if name != key]
    table._default_manager.bulk_create(
        [table(unit_id=unit, **row) for row in changed],
        update_conflicts=True,
        unique_fields=[key] if table._meta.pk.name == key else ["unit", key],
        update_fields=update,
    )


def stored_rows(unit: UUID) -> dict[str, Any]:
    """Index rows of a unit as stored in the tables, in the shape that `rows` returns."""
    columns = [f.attname for f in Unit._meta.concrete_fields]
    tables: dict[str, Any] = {
        "unit": Unit.objects.filter(pk=unit).values(*columns).get(),
    }
    for name, table, key in _TABLES:
        hidden = {"unit_id", "id"} - {key}
        stored = table._default_manager.filter(unit_id=unit).values()
        tables[name] = {
            str(row[key]): {k: v for k, v in row.items() if k not in hidden} for row in stored
        }
    return tables
