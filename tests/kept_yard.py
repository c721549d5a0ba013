"""One yard made once a run, through the actions, and put back row by row for each test.

Making it takes a tenth of a second, and a thousand tests begin with it. The rows are put back as
the database gave them, so that a test starts from exactly what the actions wrote.
"""

from collections.abc import Callable, Sequence
from copy import deepcopy
from dataclasses import dataclass
from typing import Any

from django.apps import apps
from django.contrib.auth.models import Permission
from django.contrib.contenttypes.models import ContentType
from django.db import connection, transaction

from tests.cast import Yard

MADE_BY_MIGRATIONS = (ContentType, Permission)


@dataclass(frozen=True)
class KeptYard:
    """A yard, and the rows it consists of, by table."""

    yard: Yard
    tables: dict[str, Any]

    @classmethod
    def of(cls, make: Callable[[], Yard]) -> "KeptYard":
        """Make a yard, keep its rows, and leave the database as it was."""
        with transaction.atomic():
            kept = cls(make(), dumped())
            transaction.set_rollback(True)
        return kept

    def put_back(self) -> Yard:
        """The yard in an empty database; nothing of it is shared with another test's."""
        with transaction.atomic(), connection.cursor() as cursor:
            for name, rows in self.tables.items():
                _put(cursor, name, rows)
        return deepcopy(self.yard)


def dumped() -> dict[str, Any]:
    """The rows of every table that has some."""
    return {name: rows for name in _tables() if (rows := _rows_of(name))}


def _tables() -> list[str]:
    """Tables of the models whose rows migrations have not made."""
    models = [model for model in apps.get_models() if model not in MADE_BY_MIGRATIONS]
    return [model._meta.db_table for model in models if model._meta.managed]


def _rows_of(name: str) -> Any:
    """Rows of a table in the database's own terms: text of COPY on PostgreSQL, values on SQLite."""
    table = connection.ops.quote_name(name)
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            with cursor.cursor.copy(f"COPY {table} TO STDOUT") as copied:
                return b"".join(bytes(piece) for piece in copied)
        connection.ensure_connection()
        return connection.connection.execute(f"SELECT * FROM {table}").fetchall()


def _put(cursor: Any, name: str, rows: Any) -> None:
    table = connection.ops.quote_name(name)
    if connection.vendor == "postgresql":
        with cursor.cursor.copy(f"COPY {table} FROM STDIN") as copied:
            copied.write(rows)
        return
    values: Sequence[Sequence[Any]] = rows
    marks = ", ".join("?" * len(values[0]))
    connection.connection.executemany(f"INSERT INTO {table} VALUES ({marks})", values)
