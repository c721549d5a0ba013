"""The import contracts, and each seen to fail on a planted import."""

import ast
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.architecture.tree import PACKAGES, ROOT, modules, parsed


def lint_imports(root: Path) -> subprocess.CompletedProcess[str]:
    """import-linter over a tree."""
    command = [str(Path(sys.executable).parent / "lint-imports"), "--no-cache"]
    return subprocess.run(command, cwd=root, capture_output=True, text=True, check=False)


@pytest.fixture(scope="module")
def copied_tree(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of the packages to plant faults in."""
    copy = tmp_path_factory.mktemp("tree")
    shutil.copy(ROOT / "pyproject.toml", copy)
    for package in PACKAGES:
        shutil.copytree(
            ROOT / package, copy / package, ignore=shutil.ignore_patterns("__pycache__")
        )
    return copy


def test_the_import_contracts_hold() -> None:
    """As written in pyproject.toml, without exceptions."""
    checked = lint_imports(ROOT)
    assert checked.returncode == 0, checked.stdout


@pytest.mark.parametrize(
    ("file", "line", "contract"),
    [
        ("prep/rules/deck/blades.py", "import prep.record.unit.state", "One direction"),
        ("prep/queries/people.py", "import prep.actions.perform", "One direction"),
        ("prep/actions/sales.py", "import reports.queue.submit", "One direction"),
        ("prep/actions/sales.py", "import prep.verify.run", "One direction"),
        ("prep/models/sites.py", "import prep.words.dates", "One direction"),
        ("prep/record/roles.py", "import prep.words.dates", "One direction"),
        ("prep/record/unit/state.py", "import django", "Rules and record are plain Python"),
        ("prep/pages/security_headers.py", "import rest_framework", "Only api knows DRF"),
        ("api/apps.py", "import reportlab", "Only reports knows Celery and ReportLab"),
        (
            "prep/pages/views/unit.py",
            "import reports.queue.tasks",
            "Documents are reached through reports.queue",
        ),
        (
            "reports/labels/pdf.py",
            "import reports.registry",
            "Document kinds know neither queue nor registry",
        ),
        (
            "prep/rules/quantities/quantity.py",
            "import prep.rules.entries.read",
            "No cycles between siblings",
        ),
    ],
)
def test_a_planted_import_is_reported(
    copied_tree: Path, file: str, line: str, contract: str
) -> None:
    """Negative control of each contract."""
    place = copied_tree / file
    kept = place.read_text()
    try:
        place.write_text(f"{kept}\n{line}\n")
        checked = lint_imports(copied_tree)
    finally:
        place.write_text(kept)
    assert checked.returncode != 0
    assert f"{contract} BROKEN" in checked.stdout


def local_imports(tree: ast.Module) -> list[int]:
    """Lines of functions in a module that import from the service's own packages."""
    return [
        inner.lineno
        for node in ast.walk(tree)
        if isinstance(node, ast.FunctionDef)
        for inner in ast.walk(node)
        if isinstance(inner, ast.ImportFrom) and (inner.module or "").split(".")[0] in PACKAGES
    ]


def test_no_module_imports_its_own_package_inside_a_function() -> None:
    """A local import hides a cycle."""
    hidden = [f"{name}:{line}" for name, path in modules() for line in local_imports(parsed(path))]
    assert hidden == []


def test_a_planted_local_import_is_reported() -> None:
    """Negative control of the same."""
    assert local_imports(ast.parse("def run():\n    from prep.models import Unit\n")) == [2]
