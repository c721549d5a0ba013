"""The yard page's tiles: their counts are the rows, and their order is an index."""

import pytest

from prep.models import Unit, UnitCount
from prep.queries.listing.asker import asker_of
from prep.queries.lists.units import UNITS
from prep.queries.yard import (
    ALIKE,
    HERE,
    WANTED,
    counts,
    ready_instead,
    ready_instead_of,
    units_under,
)
from prep.record.unit.views.facets import FACETS, facets
from prep.verify.counts import counts as check
from prep.verify.run import findings
from tests.actions.kept import rows, unguarded
from tests.cast import Yard
from tests.queries.listing.yards import with_a_few
from tests.queries.plans import plan_without_sorting, sorts

pytestmark = pytest.mark.django_db


def test_each_tile_counts_the_units_it_shows(yard: Yard) -> None:
    """The condition on a row and that of the database say the same."""
    with_a_few(yard)
    asker = asker_of(yard.sol, UNITS)
    kept = counts(["north"], WANTED)
    for tile, wanted in WANTED.items():
        shown = units_under(tile, wanted, asker, limit=50).rows
        stored = [row for row in Unit.objects.values() if tile in facets(row)]
        assert kept[tile] == len(shown) == len(stored)
    assert kept == {
        "here": 4,
        "stock": 1,
        "buyer": 0,
        "promised": 0,
        "not": 3,
        "flags": 1,
        "gone": 1,
    }


def test_a_count_that_was_changed_behind_the_services_back_is_named(yard: Yard) -> None:
    """Verification counts the rows again."""
    with_a_few(yard)
    assert list(findings(checks=[check])) == []
    with unguarded():
        rows(UnitCount).filter(facet="stock").update(units=7)
        found = list(findings(checks=[check]))
    assert [(one.code, one.values["kept"], one.values["counted"]) for one in found] == [
        ("count-wrong", 7, 1)
    ]


def test_the_oldest_equal_unit_that_is_free_and_ready_is_offered_instead(yard: Yard) -> None:
    """Not one that is sold, not the unit itself, and nothing for a unit without a model."""
    older, newer = yard.prepared(), yard.prepared()
    waits = yard.started()
    yard.assign(waits)
    assert ready_instead(["north"], [waits])[waits]["id"] == older
    assert [row["id"] for row in ready_instead_of(["north"], waits, 3)] == [older, newer]
    assert ready_instead(["north"], [older])[older]["id"] == newer
    assert ready_instead(["elsewhere"], [waits]) == {}
    yard.assign(older)
    assert ready_instead(["north"], [waits])[waits]["id"] == newer


@pytest.mark.parametrize("tile", sorted(HERE))
def test_the_yards_order_is_that_of_its_own_index(yard: Yard, tile: str) -> None:
    """A deep page costs what the first costs."""
    with_a_few(yard)
    order = Unit.objects.filter(WANTED[tile]).order_by(*ALIKE.columns, "id").values("pk")[:50]
    plan = plan_without_sorting(order)
    assert not sorts(plan)
    assert "unit_in_yard" in plan


def test_every_tile_of_the_yard_is_counted() -> None:
    """Those of the desk that depend on the day or on documents are counted when asked."""
    assert set(WANTED) <= set(FACETS)
