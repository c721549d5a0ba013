"""The database's guards are themselves guarded: a trigger dropped, altered, disabled or added."""

from collections.abc import Callable
from io import StringIO

import pytest
from django.core.management import call_command
from django.db import connection, transaction

from prep.models import triggers
from prep.verify.guards import guards
from prep.verify.run import findings
from prep.words.reader import ENGLISH
from prep.words.verification.sentences import finding_text

pytestmark = pytest.mark.django_db

NAME = "prep_event_refuse_update"


def said() -> list[str]:
    """What the check says."""
    return [finding_text(one.code, one.values, ENGLISH) for one in findings(checks=[guards])]


def execute(*statements: str) -> None:
    """Whoever has the database's own shell."""
    with connection.cursor() as cursor:
        for statement in statements:
            cursor.execute(statement)


def drop(name: str, table: str) -> str:
    """The statement that drops a trigger."""
    return f"DROP TRIGGER {name}" + (f" ON {table}" if connection.vendor == "postgresql" else "")


def test_as_they_were_made_they_stand(db: None) -> None:
    """After the migrations, and made anew."""
    assert said() == []
    assert len(triggers.standing(connection)) == len(triggers.expected(connection)) >= 10
    triggers.install(connection)
    assert said() == []


@pytest.mark.parametrize("table", triggers.TABLES)
@pytest.mark.parametrize("verb", ["update", "delete"])
def test_each_one_is_missed(db: None, table: str, verb: str) -> None:
    """And can be put back."""
    execute(drop(f"{table}_refuse_{verb}", table))
    [text] = said()
    assert text.startswith(f"The database's guard “{table}_refuse_{verb}”, which refuses")
    assert text.endswith("is missing. Put it back: “manage.py guard”.")
    call_command("guard", stdout=StringIO())
    assert said() == []


def weakened_on_sqlite() -> None:
    """The same name, but it refuses nothing."""
    execute(
        drop(NAME, "prep_event"),
        f"CREATE TRIGGER {NAME} BEFORE UPDATE ON prep_event BEGIN SELECT 1; END",
    )


def conditional_on_sqlite() -> None:
    """It refuses what never happens."""
    right = triggers.expected(connection)[NAME]
    execute(drop(NAME, "prep_event"), right.replace(" BEGIN", " WHEN NEW.id = -1 BEGIN"))


def disabled_on_postgres() -> None:
    """Switched off."""
    execute(f"ALTER TABLE prep_event DISABLE TRIGGER {NAME}")


def for_replicas_only_on_postgres() -> None:
    """Switched off but where a replica writes."""
    execute(f"ALTER TABLE prep_event ENABLE REPLICA TRIGGER {NAME}")


def conditional_on_postgres() -> None:
    """It refuses what never happens."""
    execute(
        drop(NAME, "prep_event"),
        f"CREATE TRIGGER {NAME} BEFORE UPDATE ON prep_event FOR EACH ROW WHEN (NEW.id = -1) "
        "EXECUTE FUNCTION yardproof_refuse_change()",
    )


def of_one_column_on_postgres() -> None:
    """Only a change of one column is refused."""
    execute(
        drop(NAME, "prep_event"),
        f"CREATE TRIGGER {NAME} BEFORE UPDATE OF device ON prep_event FOR EACH ROW "
        "EXECUTE FUNCTION yardproof_refuse_change()",
    )


ALTERED = [
    weakened_on_sqlite,
    conditional_on_sqlite,
    disabled_on_postgres,
    for_replicas_only_on_postgres,
    conditional_on_postgres,
    of_one_column_on_postgres,
]


@pytest.mark.parametrize("alter", ALTERED)
def test_an_altered_one_is_named(db: None, alter: Callable[[], None]) -> None:
    """Whatever was done to it."""
    if not alter.__name__.endswith("postgres" if connection.vendor == "postgresql" else "sqlite"):
        return  # the other database has its own
    with transaction.atomic():
        alter()
    [text] = said()
    assert text.startswith(f"The database's guard “{NAME}”")
    assert "was altered or switched off." in text
    call_command("guard", stdout=StringIO())
    assert said() == []


def test_a_function_that_lets_everything_through_is_named(db: None) -> None:
    """On PostgreSQL every trigger calls it."""
    if connection.vendor != "postgresql":
        return
    execute(
        "CREATE OR REPLACE FUNCTION yardproof_refuse_change() RETURNS trigger LANGUAGE plpgsql AS "
        "$$ BEGIN RETURN NEW; END $$"
    )
    assert len(said()) == len(triggers.expected(connection))
    call_command("guard", stdout=StringIO())
    assert said() == []


def test_a_trigger_that_was_added_is_named(db: None) -> None:
    """It could change what is written, or hide it."""
    if connection.vendor == "postgresql":
        execute(
            "CREATE TRIGGER helper BEFORE INSERT ON prep_reading FOR EACH ROW "
            "EXECUTE FUNCTION yardproof_refuse_change()"
        )
    else:
        execute("CREATE TRIGGER helper AFTER INSERT ON prep_reading BEGIN SELECT 1; END")
    assert said() == [
        "“helper” was added to the database and may change what is written there. Remove it."
    ]
