"""Files and folders are small enough to find things in, and the tests mirror the code."""

from collections import Counter
from collections.abc import Callable, Iterable
from pathlib import Path

import pytest

from tests.architecture.tree import ROOT, modules

LONGEST = 400  # lines of a module
MOST = 16  # modules of a folder
FAMILY = 4  # modules of a folder whose names begin alike are a folder of their own

# Each exception with its reason; one that is no longer needed fails its test, too.
LONG = {"reports/bundles/verifier.py": "the standalone verifier travels as one file"}
CROWDED = {"prep/management/commands": "Django looks for commands in this one folder"}
FAMILIES: dict[str, str] = {}
# Where a folder of tests has the name of a folder of the code.
MIRRORED = {"tests/rules": "prep/rules", "tests/record": "prep/record", "tests/reports": "reports"}


def long_modules(root: Path, names: Iterable[str]) -> set[str]:
    """Modules that hold more than one idea."""
    return {name for name in names if len((root / name).read_text().splitlines()) > LONGEST}


def crowded_folders(names: Iterable[str]) -> set[str]:
    """Folders with too many modules to look over."""
    count = Counter(Path(name).parent.as_posix() for name in _named(names))
    return {folder for folder, modules in count.items() if modules > MOST}


def families(names: Iterable[str]) -> set[str]:
    """Modules of a folder that share their name up to the first underscore, where many do."""
    count = Counter(
        f"{Path(name).parent.as_posix()}/{Path(name).stem.partition('_')[0]}_*"
        for name in _named(names)
    )
    return {family for family, modules in count.items() if modules >= FAMILY}


def _named(names: Iterable[str]) -> Iterable[str]:
    return (name for name in names if not name.endswith("/__init__.py"))


def unmirrored_folders(root: Path) -> set[str]:
    """Folders that hold tests of a folder which does not exist."""
    return {
        test.parent.relative_to(root).as_posix()
        for tests, code in MIRRORED.items()
        for test in (root / tests).rglob("test_*.py")
        if not (root / code / test.parent.relative_to(root / tests)).is_dir()
    }


def test_files_hold_one_idea_each() -> None:
    """No module is longer than a person reads at once."""
    assert long_modules(ROOT, (name for name, _ in modules())) == set(LONG)


def test_folders_can_be_looked_over() -> None:
    """No folder holds more modules than its name can promise."""
    assert crowded_folders(name for name, _ in modules()) == set(CROWDED)


def test_modules_named_alike_have_a_folder() -> None:
    """A prefix shared by many files is a folder waiting to be made."""
    assert families(name for name, _ in modules()) == set(FAMILIES)


def test_the_tests_mirror_the_code() -> None:
    """Tests of a topic, noun or document kind lie where the code does."""
    assert unmirrored_folders(ROOT) == set()


def test_a_planted_long_module_is_reported(tmp_path: Path) -> None:
    """Negative control: one line too many."""
    (tmp_path / "fits.py").write_text("\n" * LONGEST)
    (tmp_path / "long.py").write_text("\n" * (LONGEST + 1))
    assert long_modules(tmp_path, ["fits.py", "long.py"]) == {"long.py"}


@pytest.mark.parametrize(
    ("check", "fits", "planted", "reported"),
    [
        (
            crowded_folders,
            [f"prep/rules/topic{number}.py" for number in range(MOST)],
            "prep/rules/another.py",
            "prep/rules",
        ),
        (
            families,
            ["reports/audit/pdf.py", "reports/audit/pdf_front.py", "reports/audit/pdf_proof.py"],
            "reports/audit/pdf_back.py",
            "reports/audit/pdf_*",
        ),
    ],
)
def test_a_planted_module_too_many_is_reported(
    check: Callable[[Iterable[str]], set[str]], fits: list[str], planted: str, reported: str
) -> None:
    """Negative control: full is allowed, and one more is not."""
    full = [*fits, f"{Path(planted).parent}/__init__.py"]
    assert check(full) == set()
    assert check([*full, planted]) == {reported}


def test_a_planted_folder_of_tests_without_code_is_reported(tmp_path: Path) -> None:
    """Negative control: the folder was renamed in the code alone."""
    for folder in ("prep/rules/deck", "tests/rules/deck", "tests/rules/blades"):
        (tmp_path / folder).mkdir(parents=True)
        (tmp_path / folder / "test_leveling.py").touch()
    assert unmirrored_folders(tmp_path) == {"tests/rules/blades"}
