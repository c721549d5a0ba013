"""What counts as away, and what is told of it."""

import errno
import shutil
import sqlite3
from collections import namedtuple
from pathlib import Path
from typing import Any

import psycopg
import pytest
from django.db import IntegrityError, InterfaceError, OperationalError

from prep.actions import sealing
from prep.actions.outages import checks
from prep.actions.outages.checks import Outage, outages
from prep.actions.outages.refusals import refusal_of
from prep.actions.perform import perform
from prep.models import Event, Photo
from prep.record.unit.commands.photos import AttachPhoto
from tests.actions.test_sealing import fill
from tests.cast import Yard
from tests.stored_files import own_folders, picture

FINISH = AttachPhoto(step="pitch", line="finish")


def of_server(state: str) -> OperationalError:
    """An error of PostgreSQL as Django hands it on."""
    wrong = OperationalError("as the server says it")
    wrong.__cause__ = psycopg.errors.lookup(state)()
    return wrong


def of_sqlite(code: int) -> OperationalError:
    """An error of SQLite as Django hands it on."""
    wrong = OperationalError("as the library says it")
    wrong.__cause__ = cause = sqlite3.OperationalError()
    cause.sqlite_errorcode = code
    return wrong


# PostgreSQL 15 documentation, appendix A: error codes. SQLite: https://sqlite.org/rescode.html
@pytest.mark.parametrize(
    ("wrong", "code"),
    [
        (of_server("53100"), "disk-full"),
        (of_server("25006"), "storage-closed"),
        (of_server("55P03"), "database-busy"),
        (of_server("40P01"), "database-busy"),
        (of_server("53300"), "database-busy"),
        (of_server("57P01"), "database-away"),
        (of_server("08006"), "database-away"),
        (of_server("28P01"), "database-away"),
        (OperationalError("connection refused"), "database-away"),
        (InterfaceError("connection already closed"), "database-away"),
        (of_sqlite(sqlite3.SQLITE_FULL), "disk-full"),
        (of_sqlite(sqlite3.SQLITE_BUSY), "database-busy"),
        (of_sqlite(sqlite3.SQLITE_BUSY_SNAPSHOT), "database-busy"),
        (of_sqlite(sqlite3.SQLITE_READONLY), "storage-closed"),
        (of_sqlite(sqlite3.SQLITE_CANTOPEN), "database-away"),
        (of_sqlite(sqlite3.SQLITE_IOERR_WRITE), "database-away"),
        (OSError(errno.ENOSPC, "no space left"), "disk-full"),
        (OSError(errno.EDQUOT, "quota exceeded"), "disk-full"),
        (OSError(errno.EROFS, "read-only"), "storage-closed"),
    ],
)
def test_what_is_away_is_told_by_its_code(wrong: Exception, code: str) -> None:
    """Each with when to try again."""
    refusal = refusal_of(wrong)
    assert refusal is not None
    assert refusal.code == code
    assert refusal.details["seconds"] in {5, 30}


@pytest.mark.parametrize(
    "wrong",
    [
        None,
        ValueError("a mistake of ours"),
        OSError(errno.ENOENT, "no such file"),
        IntegrityError("a constraint"),
        of_sqlite(sqlite3.SQLITE_ERROR),
        of_sqlite(sqlite3.SQLITE_CORRUPT),
        of_server("42703"),
    ],
)
def test_a_mistake_of_ours_is_not_called_an_outage(wrong: Exception | None) -> None:
    """It would be tried again for ever."""
    assert refusal_of(wrong) is None


Usage = namedtuple("Usage", "total used free")
MB = 1024**2


@pytest.mark.parametrize(
    ("free", "found"),
    [
        (501 * MB, []),
        (499 * MB, [Outage("disk-low", {"left": 499})]),
        (19 * MB, [Outage("disk-full")]),
    ],
)
def test_a_disk_is_told_of_before_it_is_full(
    free: int, found: list[Outage], monkeypatch: pytest.MonkeyPatch
) -> None:
    """By what is left on it."""
    monkeypatch.setattr(shutil, "disk_usage", lambda _: Usage(free, 0, free))
    assert list(checks.disks()) == found


@pytest.mark.django_db
def test_a_missing_or_open_key_is_told_of_before_anything_waits_for_it(
    settings: Any, tmp_path: Path
) -> None:
    """With the file's name, and not only in the worker's log."""
    own_folders(settings, tmp_path / "keys")
    fill(1)
    sealing.seal()
    assert list(checks.key()) == []
    [file] = (tmp_path / "keys").glob("*.pem")
    file.chmod(0o644)
    assert [(one.code, one.values["file"]) for one in checks.key()] == [("key-open", file.name)]
    file.unlink()
    assert [(one.code, one.values["file"]) for one in checks.key()] == [("key-missing", file.name)]


def test_without_a_database_nothing_is_asked_that_is_kept_in_it(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """One outage, not five that follow from it."""
    asked: list[str] = []

    def away() -> Any:
        raise OperationalError("connection refused")

    monkeypatch.setattr(checks, "CHECKS", [away, lambda: asked.append("again")])
    assert outages() == [Outage("database-away")]
    assert asked == []


def kept_files(root: Path) -> list[str]:
    """Names of all files in a storage, built ones too."""
    return sorted(path.name for path in root.rglob("*") if path.is_file())


def test_a_disk_that_fills_while_a_picture_is_written_leaves_no_half_of_it(
    yard: Yard, settings: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A file system may tell it as late as when the file is forced to the disk."""
    own_folders(settings, tmp_path)
    unit = yard.started()
    events = Event.objects.count()

    def full(_: int) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr("prep.actions.beside_the_log.picture_files.os.fsync", full)
        with pytest.raises(OSError, match="No space left"):
            perform(FINISH, actor=yard.ada, target=unit, attachment=picture())
    assert (Event.objects.count(), Photo.objects.count()) == (events, 0)
    assert kept_files(tmp_path / "files") == []
    perform(FINISH, actor=yard.ada, target=unit, attachment=picture())
    assert len(kept_files(tmp_path / "files")) == 1
