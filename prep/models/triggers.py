"""Database triggers that refuse updates and deletions of the log's tables, and of the readings.

The model and the queryset refuse first and say why; the triggers are for raw SQL, other programs
and the database's own shell.
"""

from collections.abc import Mapping
from typing import Final

from django.db.backends.base.base import BaseDatabaseWrapper

TABLES: Final = (
    "prep_event",
    "prep_leaf",
    "prep_treenode",
    "prep_checkpoint",
    "prep_logkey",
    "prep_personalread",
)
MESSAGE: Final = "the log may be added to, never changed or deleted"

_POSTGRES_BODY: Final = f"\nBEGIN RAISE EXCEPTION '{MESSAGE}'; END "
_POSTGRES_FUNCTION: Final = f"""
CREATE OR REPLACE FUNCTION yardproof_refuse_change() RETURNS trigger LANGUAGE plpgsql AS $$\
{_POSTGRES_BODY}$$
"""
# Verbs, what each trigger runs for, and how PostgreSQL keeps both (`pg_trigger.tgtype`).
_POSTGRES_VERBS: Final = (
    ("update", "ROW", 19),
    ("delete", "ROW", 11),
    ("truncate", "STATEMENT", 34),
)
# Every trigger there is with all that decides what it does: enabled, without condition, columns or
# arguments; and rules, which could take the place of a statement.
_POSTGRES_STANDING: Final = """
SELECT t.tgname, concat_ws('|', c.relname, t.tgtype, t.tgenabled, coalesce(t.tgqual::text, ''),
                           t.tgattr::text, t.tgnargs, l.lanname, p.prosrc)
FROM pg_trigger t
JOIN pg_class c ON c.oid = t.tgrelid
JOIN pg_namespace n ON n.oid = c.relnamespace
JOIN pg_proc p ON p.oid = t.tgfoid
JOIN pg_language l ON l.oid = p.prolang
WHERE NOT t.tgisinternal AND n.nspname = current_schema()
UNION ALL
SELECT rulename, definition FROM pg_rules WHERE schemaname = current_schema()
"""
_SQLITE_STANDING: Final = "SELECT name, sql FROM sqlite_master WHERE type = 'trigger'"


def install(connection: BaseDatabaseWrapper) -> None:
    """Create the triggers anew, whatever stands in their place; of the tables there are by now."""
    remove(connection)
    there = connection.introspection.table_names()
    triggers = _postgres() if connection.vendor == "postgresql" else _sqlite()
    statements = [_POSTGRES_FUNCTION] if connection.vendor == "postgresql" else []
    statements += [
        text for name, text in triggers.items() if name.rpartition("_refuse_")[0] in there
    ]
    with connection.cursor() as cursor:
        for statement in statements:
            cursor.execute(statement)


def expected(connection: BaseDatabaseWrapper) -> Mapping[str, str]:
    """Every trigger that should stand, by its name, as `standing` gives it."""
    if connection.vendor != "postgresql":
        return _sqlite()
    return {
        f"{table}_refuse_{verb}": f"{table}|{kept}|O|||0|plpgsql|{_POSTGRES_BODY}"
        for table in TABLES
        for verb, _, kept in _POSTGRES_VERBS
    }


def standing(connection: BaseDatabaseWrapper) -> Mapping[str, str]:
    """Every trigger that stands, by its name, with all that decides what it does."""
    postgres = connection.vendor == "postgresql"
    with connection.cursor() as cursor:
        cursor.execute(_POSTGRES_STANDING if postgres else _SQLITE_STANDING)
        # SQLite puts a table's name in quotes when the table is made anew.
        return {name: text if postgres else text.replace('"', "") for name, text in cursor}


def remove(connection: BaseDatabaseWrapper) -> None:
    """Drop the triggers. Only for emptying a test database."""
    with connection.cursor() as cursor:
        for table in TABLES:
            for trigger in ("refuse_update", "refuse_delete", "refuse_truncate"):
                if connection.vendor == "postgresql":
                    cursor.execute(f"DROP TRIGGER IF EXISTS {table}_{trigger} ON {table}")
                else:
                    cursor.execute(f"DROP TRIGGER IF EXISTS {table}_{trigger}")


def _sqlite() -> dict[str, str]:
    return {
        f"{table}_refuse_{verb}": f"CREATE TRIGGER {table}_refuse_{verb} BEFORE {verb.upper()} ON "
        f"{table} BEGIN SELECT RAISE(ABORT, '{MESSAGE}'); END"
        for table in TABLES
        for verb in ("update", "delete")
    }


def _postgres() -> dict[str, str]:
    return {
        f"{table}_refuse_{verb}": f"CREATE TRIGGER {table}_refuse_{verb} BEFORE {verb.upper()} ON "
        f"{table} FOR EACH {scope} EXECUTE FUNCTION yardproof_refuse_change()"
        for table in TABLES
        for verb, scope, _ in _POSTGRES_VERBS
    }
