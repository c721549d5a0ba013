"""Database triggers that refuse updates and deletions of the log's tables.

The model and the queryset refuse first and say why; the triggers are for raw SQL, other programs
and the database's own shell.
"""

from typing import Final

from django.db.backends.base.base import BaseDatabaseWrapper

TABLES: Final = (
    "prep_event",
    "prep_leaf",
    "prep_treenode",
    "prep_checkpoint",
    "prep_logkey",
)
MESSAGE: Final = "the log may be added to, never changed or deleted"

_POSTGRES_FUNCTION: Final = f"""
CREATE OR REPLACE FUNCTION yardproof_refuse_change() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN RAISE EXCEPTION '{MESSAGE}'; END $$
"""


def install(connection: BaseDatabaseWrapper) -> None:
    """Create the triggers. Creating them twice is harmless."""
    statements = _postgres() if connection.vendor == "postgresql" else _sqlite()
    with connection.cursor() as cursor:
        for statement in statements:
            cursor.execute(statement)


def remove(connection: BaseDatabaseWrapper) -> None:
    """Drop the triggers. Only for emptying a test database."""
    with connection.cursor() as cursor:
        for table in TABLES:
            for trigger in ("refuse_update", "refuse_delete", "refuse_truncate"):
                if connection.vendor == "postgresql":
                    cursor.execute(f"DROP TRIGGER IF EXISTS {table}_{trigger} ON {table}")
                else:
                    cursor.execute(f"DROP TRIGGER IF EXISTS {table}_{trigger}")


def _sqlite() -> list[str]:
    return [
        f"CREATE TRIGGER IF NOT EXISTS {table}_refuse_{verb} BEFORE {verb.upper()} ON {table} "
        f"BEGIN SELECT RAISE(ABORT, '{MESSAGE}'); END"
        for table in TABLES
        for verb in ("update", "delete")
    ]


def _postgres() -> list[str]:
    statements = [_POSTGRES_FUNCTION]
    for table in TABLES:
        for verb, scope in (("update", "ROW"), ("delete", "ROW"), ("truncate", "STATEMENT")):
            statements += [
                f"DROP TRIGGER IF EXISTS {table}_refuse_{verb} ON {table}",
                f"CREATE TRIGGER {table}_refuse_{verb} BEFORE {verb.upper()} ON {table} "
                f"FOR EACH {scope} EXECUTE FUNCTION yardproof_refuse_change()",
            ]
    return statements
