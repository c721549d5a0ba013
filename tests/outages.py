"""Taking away what the service needs, for the length of a `with` block, and giving it back.

For tests that commit. The failures are the database's own, not made up: a server or a folder that
is not there, a lock that somebody else holds, a database that may not grow.
"""

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from typing import Any

import psycopg
import pytest
from django.db import OperationalError, connection

LONG_NOTE = "€" * 1900  # more than a page of the database, so that room has to be made for it
ON_SQLITE = pytest.mark.sqlite  # it alone can be told not to grow


@contextmanager
def database_away() -> Iterator[None]:
    """Nobody answers where the database should be."""
    service = connection.vendor == "postgresql"
    name, elsewhere = ("PORT", "1") if service else ("NAME", "/no/such/folder/yardproof.sqlite3")
    kept = connection.settings_dict[name]
    connection.close()
    connection.settings_dict[name] = elsewhere
    try:
        yield
    finally:
        connection.close()
        connection.settings_dict[name] = kept


@contextmanager
def database_locked() -> Iterator[None]:
    """Somebody else is writing, and does not come to an end; nobody waits for long."""
    service = connection.vendor == "postgresql"
    with connection.cursor() as cursor:
        cursor.execute("SET lock_timeout = 30" if service else "PRAGMA busy_timeout = 30")
    other = _other_writer()
    try:
        yield
    finally:
        other.rollback()
        other.close()
        connection.close()  # with its short patience


def _other_writer() -> Any:
    at = connection.settings_dict
    if connection.vendor == "postgresql":
        writer = psycopg.connect(
            dbname=at["NAME"],
            user=at["USER"],
            password=at["PASSWORD"],
            host=at["HOST"],
            port=at["PORT"] or 5432,
        )
        writer.execute("LOCK TABLE prep_event IN EXCLUSIVE MODE")
        return writer
    other = sqlite3.connect(at["NAME"])
    other.execute("BEGIN IMMEDIATE")
    return other


@contextmanager
def disk_full() -> Iterator[None]:
    """The database may not grow by a page, and has none free."""
    with connection.cursor() as cursor:
        cursor.execute("CREATE TABLE filling (bytes BLOB)")
        cursor.execute("PRAGMA page_count")
        cursor.execute(f"PRAGMA max_page_count = {cursor.fetchone()[0]}")
        for size in (4000, 400, 40):
            with suppress(OperationalError):  # now it is full, to so many bytes
                while True:
                    cursor.execute("INSERT INTO filling VALUES (zeroblob(%s))", [size])
    try:
        yield
    finally:
        connection.close()  # the bound is of the connection
        with connection.cursor() as cursor:
            cursor.execute("DROP TABLE filling")
