"""Failures that are no mistake of anybody's: what the service stands on is away for the moment.

Where a command or a read ends in one, nothing was recorded, and the same command can be sent again.
"""

import errno
import sqlite3
from typing import Final

from django.db import DatabaseError, InterfaceError, OperationalError

from prep.record.refusal import Refusal

FULL: Final = frozenset({errno.ENOSPC, errno.EDQUOT})
CLOSED: Final = frozenset({errno.EROFS, errno.EACCES, errno.EPERM})
PRIMARY: Final = 0xFF  # the part of an SQLite error code that says what sort it is

# Whatever a database may raise; its library keeps them apart.
DATABASE_FAILURES: Final = (DatabaseError, InterfaceError)

SOON: Final = 5  # seconds until it is worth while to try again
LATER: Final = 30


def refusal_of(wrong: BaseException | None) -> Refusal | None:
    """The refusal that says what is away; None of any other failure, which is a mistake of ours."""
    match wrong:
        case OSError(errno=number) if number in FULL:
            return Refusal("disk-full", seconds=LATER)
        case OSError(errno=number) if number in CLOSED:
            return Refusal("storage-closed", seconds=LATER)
        case DatabaseError() | InterfaceError():
            return _of_database(wrong)
    return None


def _of_database(wrong: DatabaseError | InterfaceError) -> Refusal | None:
    cause = wrong.__cause__
    if isinstance(cause, sqlite3.Error):
        return _of_sqlite(getattr(cause, "sqlite_errorcode", sqlite3.SQLITE_ERROR) & PRIMARY)
    return _of_server(wrong, getattr(cause, "sqlstate", None))


def _of_sqlite(code: int) -> Refusal | None:
    """By the codes that SQLite publishes; its messages are for people."""
    if code == sqlite3.SQLITE_FULL:
        return Refusal("disk-full", seconds=LATER)
    if code in {sqlite3.SQLITE_READONLY, sqlite3.SQLITE_PERM, sqlite3.SQLITE_AUTH}:
        return Refusal("storage-closed", seconds=LATER)
    if code in {sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED}:
        return Refusal("database-busy", seconds=SOON)
    if code in {sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_IOERR, sqlite3.SQLITE_NOTADB}:
        return Refusal("database-away", seconds=LATER)
    return None


def _of_server(wrong: Exception, state: str | None) -> Refusal | None:
    """By the SQLSTATE of PostgreSQL (its documentation, appendix A); none without a server."""
    if state is None:
        away = isinstance(wrong, OperationalError | InterfaceError)
        return Refusal("database-away", seconds=LATER) if away else None
    if state == "53100":  # disk_full
        return Refusal("disk-full", seconds=LATER)
    if state == "25006":  # read_only_sql_transaction
        return Refusal("storage-closed", seconds=LATER)
    # Waiting too long for a lock, deadlock, query cancelled, connections or memory used up.
    if state[:2] in {"40", "53"} or state in {"55P03", "57014"}:
        return Refusal("database-busy", seconds=SOON)
    if state[:2] in {"08", "57", "58", "28", "3D"}:  # connection, shutdown, system, sign-in, name
        return Refusal("database-away", seconds=LATER)
    return None
