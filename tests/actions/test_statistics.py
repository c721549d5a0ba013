"""SQLite knows how its tables are filled, so that it takes the right index."""

import pytest
from django.db import connection

from prep.actions.statistics import refresh_statistics
from tests.cast import Yard


@pytest.mark.django_db
@pytest.mark.sqlite  # PostgreSQL looks by itself
def test_statistics_know_the_units_of_a_yard(yard: Yard) -> None:
    """Of each index of the table, after the runner has looked."""
    yard.receive()
    refresh_statistics()
    with connection.cursor() as cursor:
        cursor.execute("SELECT idx FROM sqlite_stat1 WHERE tbl = 'prep_unit'")
        indexes = {name for (name,) in cursor.fetchall()}
    assert {"unit_by_age", "unit_in_yard", "unit_of_site_by_age"} <= indexes
