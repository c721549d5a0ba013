"""The log cannot be changed: not by the model, the queryset, nor raw SQL."""

from typing import Any

import pytest
from django.db import DatabaseError, connection, transaction

from prep.models import Event, UnchangeableError, triggers
from tests.cast import Yard


def test_an_event_saved_again_is_refused(yard: Yard) -> None:
    """The model refuses and says to append a correction."""
    event = Event.objects.order_by("pk")[0]
    event.body = "{}"
    with pytest.raises(UnchangeableError, match="Append a correction"):
        event.save()


def test_an_event_deleted_is_refused(yard: Yard) -> None:
    """The model refuses deletion."""
    with pytest.raises(UnchangeableError):
        Event.objects.order_by("pk")[0].delete()


@pytest.mark.parametrize(
    "change",
    [
        lambda: Event.objects.all().update(body="{}"),
        lambda: Event.objects.all().delete(),
        lambda: Event.objects.bulk_update(list(Event.objects.all()), ["body"]),
    ],
)
def test_a_queryset_change_is_refused(yard: Yard, change: Any) -> None:
    """So do querysets, whatever the verb."""
    with pytest.raises(UnchangeableError):
        change()


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE prep_event SET body = '{}'",
        "UPDATE prep_event SET actor_name = 'Somebody Else' WHERE version = 1",
        "DELETE FROM prep_event",
    ],
)
def test_raw_sql_is_refused_by_the_database_itself(yard: Yard, statement: str) -> None:
    """A trigger stands behind the model; nothing changes."""
    before = list(Event.objects.order_by("pk").values())
    with pytest.raises(DatabaseError, match=triggers.MESSAGE), transaction.atomic():
        connection.cursor().execute(statement)
    assert list(Event.objects.order_by("pk").values()) == before


def test_an_event_is_not_replaced_by_inserting_another_over_it(yard: Yard) -> None:
    """On SQLite a row that gives way to another is deleted without a DELETE."""
    over = {
        "sqlite": "INSERT OR REPLACE INTO prep_event SELECT * FROM prep_event",
        "postgresql": "INSERT INTO prep_event SELECT * FROM prep_event "
        "ON CONFLICT (id) DO UPDATE SET body = '{}'",
    }
    before = list(Event.objects.order_by("pk").values())
    with pytest.raises(DatabaseError, match=triggers.MESSAGE), transaction.atomic():
        connection.cursor().execute(over[connection.vendor])
    assert list(Event.objects.order_by("pk").values()) == before


def test_without_the_trigger_raw_sql_would_pass(yard: Yard) -> None:
    """Negative control: it is the trigger that refuses."""
    triggers.remove(connection)
    connection.cursor().execute("UPDATE prep_event SET actor_name = 'Somebody Else'")
    assert set(Event.objects.values_list("actor_name", flat=True)) == {"Somebody Else"}


@pytest.mark.postgres
def test_truncating_the_log_is_refused(yard: Yard) -> None:
    """PostgreSQL has one more way to empty a table."""
    connection.cursor().execute("SET CONSTRAINTS ALL IMMEDIATE")
    with pytest.raises(DatabaseError, match=triggers.MESSAGE), transaction.atomic():
        connection.cursor().execute("TRUNCATE prep_event CASCADE")
