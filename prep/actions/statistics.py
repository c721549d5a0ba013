"""The database's statistics about its tables, by which it chooses among indexes."""

from typing import Final

from django.db import connection

SAMPLE: Final = 400  # rows of each index, so that a large table costs no more than a small one


def refresh_statistics() -> None:
    """Have SQLite look at its tables again; PostgreSQL does so by itself.

    Without statistics SQLite takes the wrong index of two, and a page of a large yard costs a
    thousand times what it should.
    """
    if connection.vendor == "sqlite":
        with connection.cursor() as cursor:
            cursor.execute(f"PRAGMA analysis_limit={SAMPLE}")
            cursor.execute("ANALYZE")
