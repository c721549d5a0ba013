"""The architecture is checked by machine, and each check is seen to fail on a planted fault."""

import ast
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from django.core.management import call_command

ROOT = Path(__file__).parents[2]
PACKAGES = ("prep", "api", "reports")

# Verbs that write a table, on a manager, a queryset, a related manager or an instance.
WRITES = {
    "create",
    "bulk_create",
    "update",
    "bulk_update",
    "delete",
    "save",
    "get_or_create",
    "update_or_create",
}
# Where tables may be written: the actions, the documents' own tables, and the log's own guards.
WRITERS = ("prep/actions/", "reports/")
# These cannot reach a table at all: an import contract keeps Django out of them.
PURE = ("prep/rules/", "prep/record/")
# Calls that share a name with a write but touch no table, by file.
NO_TABLE = {
    "prep/models/log.py": {"save", "delete", "update", "bulk_update"},  # they refuse, or insert
    "api/views/people.py": {"create", "delete"},  # sign-in tokens, the library's own table
}


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
        ("prep/queries/people.py", "import prep.actions.write_path", "One direction"),
        ("prep/actions/releases.py", "import reports.queue.submit", "One direction"),
        ("prep/actions/releases.py", "import prep.verify.run", "One direction"),
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


def table_writes(source: str) -> Iterator[tuple[int, str]]:
    """Line and name of every call in a module that looks like a table write."""
    for node in ast.walk(ast.parse(source)):
        if not isinstance(node, ast.Call) or not isinstance(node.func, ast.Attribute):
            continue
        if node.func.attr in WRITES and not _of_plain_python(node):
            yield node.lineno, node.func.attr


def _of_plain_python(call: ast.Call) -> bool:
    """`found.update(mapping)` of a dict or set: one positional argument, no keyword."""
    assert isinstance(call.func, ast.Attribute)
    return call.func.attr == "update" and bool(call.args) and not call.keywords


def test_tables_are_written_in_actions_only() -> None:
    """Pages, API and queries read; whoever wants to write calls an action."""
    found = []
    for package in PACKAGES:
        for path in sorted((ROOT / package).rglob("*.py")):
            name = path.relative_to(ROOT).as_posix()
            if name.startswith((*WRITERS, *PURE)) or "/migrations/" in name:
                continue
            allowed = NO_TABLE.get(name, set())
            for line, verb in table_writes(path.read_text()):
                if verb not in allowed:
                    found.append(f"{name}:{line} .{verb}()")
    assert found == []


@pytest.mark.parametrize(
    "line",
    [
        "Unit.objects.create(serial='1')",
        "unit.readings.create(raw='4 in')",
        "Unit.objects.filter(pk=1).update(state='released')",
        "unit.flags.all().delete()",
        "unit.save()",
    ],
)
def test_a_planted_write_is_found(line: str) -> None:
    """Negative control of the syntax-tree check, related managers included."""
    assert len(list(table_writes(line))) == 1


def test_the_migrations_are_up_to_date(db: None) -> None:
    """No model differs from what the migrations make."""
    call_command("makemigrations", check=True, dry_run=True, verbosity=0)


def test_files_hold_one_idea_each() -> None:
    """No module over 400 lines but the standalone verifier, which travels as one file."""
    alone = {"reports/bundles/verifier.py"}
    long = {
        path.relative_to(ROOT).as_posix(): count
        for package in PACKAGES
        for path in (ROOT / package).rglob("*.py")
        if "/migrations/" not in path.as_posix()
        and (count := len(path.read_text().splitlines())) > 400
    }
    assert set(long) <= alone, long


def test_no_module_imports_its_own_package_inside_a_function() -> None:
    """A local import hides a cycle."""
    found = [
        f"{path.relative_to(ROOT)}:{inner.lineno}"
        for package in PACKAGES
        for path in (ROOT / package).rglob("*.py")
        if "/migrations/" not in path.as_posix()
        for node in ast.walk(ast.parse(path.read_text()))
        if isinstance(node, ast.FunctionDef)
        for inner in ast.walk(node)
        if isinstance(inner, ast.ImportFrom) and (inner.module or "").split(".")[0] in PACKAGES
    ]
    assert found == []
