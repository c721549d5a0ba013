"""`manage.py import_file`: the same import without a browser."""

from io import StringIO
from pathlib import Path
from uuid import uuid4

import pytest
from django.core.management import CommandError, call_command

from prep.models import Unit
from reports.models import Import
from tests.cast import Yard
from tests.reports.imports.sent import units


def run(*words: str) -> str:
    """What the command prints."""
    output = StringIO()
    call_command("import_file", *words, stdout=output)
    return output.getvalue()


@pytest.fixture
def listed(tmp_path: Path) -> Path:
    """A list of two units, one of them of a model there is not."""
    path = tmp_path / "march.csv"
    path.write_bytes(units("00017") + b"Larkfield,00018,TC-99\r\n")
    return path


def test_a_file_is_checked_and_its_problems_are_printed(yard: Yard, listed: Path) -> None:
    """Nothing is done without --run."""
    printed = run("units", str(listed), "--by", yard.otto.username)
    assert printed.splitlines()[1:] == [
        "Read as UTF-8 with the separator ,.",
        "line 3 C Model: There is no model “TC-99”. Check the code, or publish the model first.",
        "Checked; nothing was done yet. 1 row can be carried out. 1 problem.",
    ]
    assert not Unit.objects.exists()


def test_with_problems_nothing_is_run_unless_they_are_skipped(yard: Yard, listed: Path) -> None:
    """The exit code says so; under the same id the import is the same one."""
    words = ["units", str(listed), "--by", yard.otto.username, "--id", str(uuid4()), "--run"]
    with pytest.raises(CommandError, match="Nothing was done"):
        run(*words)
    assert not Unit.objects.exists()
    for _ in range(2):
        printed = run(*words, "--skip-problems")
        assert printed.endswith("Done. 1 row was carried out. 1 problem.\n")
    assert Unit.objects.count() == Import.objects.count() == 1


@pytest.mark.parametrize(
    ("more", "said"),
    [
        (["--by", "nobody"], "Nobody signs in as nobody"),
        (["--by", "rhea-north"], "Only a"),
        (["--by", "otto-north", "--site", "south"], "There is no such yard"),
    ],
)
def test_who_may_not_imports_nothing(yard: Yard, listed: Path, more: list[str], said: str) -> None:
    """In words on the terminal."""
    with pytest.raises(CommandError) as caught:
        run("units", str(listed), "--run", *more)
    assert said in str(caught.value)
    assert not Unit.objects.exists()


def test_a_file_that_is_not_there_is_named(yard: Yard) -> None:
    """With its path."""
    with pytest.raises(CommandError, match=r"/nowhere/a\.csv"):
        run("units", "/nowhere/a.csv", "--by", yard.otto.username)
