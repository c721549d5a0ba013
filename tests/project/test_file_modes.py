"""Whatever the service makes is its user's alone; an open file is told of with what mends it."""

import os
import stat
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from django.core.management import call_command

from prep.management.file_modes import OPEN, closed_files

ROOT = Path(__file__).parents[2]
# What a dealership's first hour leaves on the disk: records, keys, a picture, a document, a mail.
FIRST_HOUR = """
from django.core.mail import send_mail
from prep.actions.perform import perform
from prep.record.unit.commands.photos import AttachPhoto
from reports import queue
from reports.models import DocumentRequest
from tests.cast import make_yard
from tests.stored_files import picture
yard = make_yard()
photo = AttachPhoto(step="pitch", line="finish")
perform(photo, actor=yard.ada, target=yard.started(), attachment=picture())
unit = yard.ready()
yard.release(unit)
queue.catch_up()
queue.run_due()
assert DocumentRequest.objects.get(kind="certificate").state == "done"
send_mail("Checkpoint", "invented", None, ["keeper@example.com"])
"""


def environment(data: Path) -> dict[str, str]:
    """The embedded profile in a folder of its own."""
    kept = {name: value for name, value in os.environ.items() if not name.startswith("YARDPROOF_")}
    return {**kept, "YARDPROOF_DATA": str(data)}


@pytest.fixture(scope="module")
def data(tmp_path_factory: Any) -> Path:
    """A data folder filled by processes whose umask closes nothing."""
    data: Path = tmp_path_factory.mktemp("dealership") / "data"
    for arguments in (["migrate", "--verbosity", "0"], ["shell", "--command", FIRST_HOUR]):
        subprocess.run(
            [sys.executable, "manage.py", *arguments],
            cwd=ROOT,
            env=environment(data),
            umask=0,
            check=True,
            stdout=subprocess.DEVNULL,
        )
    return data


def everything_in(folder: Path) -> Iterator[Path]:
    """The folder, and all below it."""
    yield folder
    yield from folder.rglob("*")


def mode_of(path: Path) -> str:
    """The rights of a path as `ls` numbers them."""
    return f"{stat.S_IMODE(path.stat().st_mode):o}"


def test_folders_are_700_and_files_600_whatever_the_umask(data: Path) -> None:
    """Database, key, picture, certificate and mail, made under a umask of 000."""
    modes = {path: mode_of(path) for path in everything_in(data)}
    names = {path.name for path in modes}
    assert {"yardproof.sqlite3", "secret_key", "keys", "photos", "documents", "mail"} <= names
    assert len([path for path in (data / "files" / "photos").rglob("*") if path.is_file()]) == 1
    assert len(list((data / "mail").iterdir())) == 1
    right = {path: "700" if path.is_dir() else "600" for path in modes}
    assert modes == right


def test_the_write_ahead_log_is_as_closed_as_the_database(data: Path) -> None:
    """It exists while somebody is connected, and holds the same records."""
    seen = """
import os, stat
from django.conf import settings
from prep.models import Person
from prep.actions.people import choose_language
choose_language(actor=Person.objects.first(), language="fr")
for ending in ("", "-wal", "-shm"):
    path = f"{settings.DATABASES['default']['NAME']}{ending}"
    print(f"{stat.S_IMODE(os.stat(path).st_mode):o}")
"""
    shown = subprocess.run(
        [sys.executable, "manage.py", "shell", "--verbosity", "0", "--command", seen],
        cwd=ROOT,
        env=environment(data),
        umask=0,
        check=True,
        capture_output=True,
        text=True,
    )
    assert shown.stdout.split() == ["600", "600", "600"]


@pytest.fixture
def closed(tmp_path: Path, settings: Any) -> Path:
    """A small data folder, closed."""
    settings.DATA, settings.KEYS = tmp_path / "data", tmp_path / "data" / "keys"
    folder = settings.DATA / "files" / "photos"
    for path in (settings.DATA, settings.KEYS, settings.DATA / "files", folder):
        path.mkdir(mode=0o700)
    for path in (settings.DATA / "yardproof.sqlite3", folder / "one.png"):
        path.write_bytes(b"invented")
        path.chmod(0o600)
    return Path(settings.DATA)


def test_a_closed_folder_is_not_warned_of(closed: Path) -> None:
    """Nor is what lies in it and is none of the records."""
    (closed / "python").mkdir(mode=0o755)
    (closed / "python").chmod(0o755)
    assert closed_files() == []


@pytest.mark.parametrize(
    ("which", "mode", "hint"),
    [
        ("", 0o750, "chmod go= {data}"),
        ("yardproof.sqlite3", 0o640, "chmod go= {data}/yardproof.sqlite3"),
        ("files/photos/one.png", 0o604, "chmod -R go= {data}/files"),
        ("keys", 0o701, "chmod -R go= {data}/keys"),
    ],
)
def test_an_open_file_is_warned_of_with_the_command_that_closes_it(
    closed: Path, which: str, mode: int, hint: str
) -> None:
    """And the command, typed as it stands there, ends the warning."""
    (closed / which).chmod(mode)
    (warning,) = closed_files()
    assert warning.id == OPEN
    assert str(closed / which) in warning.msg
    assert warning.hint == "Close it with: " + hint.format(data=closed)
    subprocess.run(warning.hint.removeprefix("Close it with: "), shell=True, check=True)
    assert closed_files() == []


def test_the_check_command_says_it(closed: Path, capsys: Any) -> None:
    """Where whoever installs it looks."""
    (closed / "yardproof.sqlite3").chmod(0o644)
    call_command("check")
    assert "chmod go= " in capsys.readouterr().err
