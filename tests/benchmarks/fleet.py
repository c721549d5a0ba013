"""Index rows of a large dealership: the demonstration's units, and copies of their rows.

Copied are the rows that lists and the yard page read: units, flags, missing parts and the counts.
Serial numbers, days and the share that is handed over vary as in a yard that has stood for years.
Run with YARDPROOF_DATA naming an empty folder (or an empty database), which is filled and left.
"""

import random
from collections import Counter
from datetime import timedelta
from typing import Any
from uuid import UUID, uuid5

from prep.models import Event, Flag, Shortage, Unit, UnitCount
from prep.record.unit.views.facets import facets
from prep.rules.identity.look_alikes import look_alike_key, plain_key
from tests.benchmarks.many import dealership

COPIES = UUID("6f0f3c52-7a8e-4d0b-9a57-3b1d0f4f6a11")
BATCH = 2000
SHARE_HERE = 0.1  # of all units ever received, those that stand in the yard


def fleet(units: int) -> None:
    """Fill the index up to so many units."""

    dealership(24)
    worked = Event.objects.filter(stream="unit", version=1).values_list("stream_id", flat=True)
    sources = [dict(row) for row in Unit.objects.filter(pk__in=list(worked)).values()]
    here = [row for row in sources if row["handed_over"] is None]
    gone = [row for row in sources if row["handed_over"] is not None] or here
    chance = random.Random(1)
    number = Unit.objects.count()
    while number < units:
        batch = range(number, min(number + BATCH, units))
        rows = [
            _copied(chance.choice(here if chance.random() < SHARE_HERE else gone), one, chance)
            for one in batch
        ]
        Unit.objects.bulk_create(
            Unit(**{name: value for name, value in row.items() if name != "source"}) for row in rows
        )
        _copy_beside(rows)
        number = batch.stop
    _count()


def _copied(row: dict[str, Any], number: int, chance: random.Random) -> dict[str, Any]:
    serial = f"{row['serial']}-{number}"
    earlier = timedelta(minutes=chance.randrange(1, 2_000_000))
    return {
        **row,
        "id": uuid5(COPIES, str(number)),
        "serial": serial,
        "serial_key": plain_key(serial),
        "look_alike_key": look_alike_key(serial),
        "received": row["received"] - earlier,
        "source": row["id"],
    }


def _copy_beside(rows: list[dict[str, Any]]) -> None:
    """Flags and missing parts of the copied units; none where the source has none."""
    tables: tuple[Any, ...] = (Flag, Shortage)
    for table in tables:
        known: dict[UUID, list[dict[str, Any]]] = {}
        for one in table.objects.filter(unit__in={row["source"] for row in rows}).values():
            known.setdefault(one["unit_id"], []).append(one)
        table.objects.bulk_create(
            table(**{**one, "id": f"{row['id']}-{place}", "unit_id": row["id"]})
            for row in rows
            for place, one in enumerate(known.get(row["source"], ()))
        )


def _count() -> None:
    """The counts of every site, from the rows."""
    counted: Counter[tuple[str, str]] = Counter()
    columns = ("site_id", "handed_over", "ready_for_stock", "ready_for_buyer", "buyer")
    more = ("open_flags", "registration", "joined_into")
    for row in Unit.objects.values(*columns, *more).iterator(BATCH):
        counted.update((row["site_id"], facet) for facet in facets(row))
    UnitCount.objects.all().delete()
    UnitCount.objects.bulk_create(
        UnitCount(site_id=site, facet=facet, units=units)
        for (site, facet), units in counted.items()
    )
