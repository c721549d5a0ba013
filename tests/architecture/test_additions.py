"""Adding something touches few files, and what is forgotten is named.

Each test plants an addition in a copy of the tree and asks the copy, in a process of its own.
"""

import json
import shutil
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest

from tests.architecture.tree import PACKAGES, ROOT

# A command that says a unit was washed: what it takes, file by file.
COMMAND: Mapping[str, tuple[tuple[str, str], ...]] = {
    "prep/record/unit/commands/washing.py": (
        (
            "",
            '''"""Command that records a wash."""

from collections.abc import Sequence
from typing import ClassVar

from prep.record.command import Facts, Permission
from prep.record.fields import Reason
from prep.record.roles import SERVICE, Context
from prep.record.unit import events as e
from prep.record.unit.state import Record
from prep.record.unit.unit_command import UnitCommand


class WashUnit(UnitCommand, frozen=True, kw_only=True, tag="unit.wash"):
    """Record that a unit was washed."""

    permission: ClassVar = Permission(SERVICE)

    reason: Reason

    def decide(self, state: Record, context: Context, facts: Facts) -> Sequence[e.Event]:
        """A unit may be washed at any time."""
        return [e.Washed(self.reason)]
''',
        ),
    ),
    "prep/record/unit/events/__init__.py": (
        (
            "class Held(Event",
            'class Washed(Event, frozen=True, tag="unit.washed"):\n'
            '    """The unit was washed."""\n\n    reason: str\n\n\nclass Held(Event',
        ),
        ("    | Held\n", "    | Held\n    | Washed\n"),
    ),
    "prep/record/unit/fold.py": (
        (
            "    e.Held: _held,\n",
            "    e.Held: _held,\n    e.Washed: lambda record, stamp, event: None,\n",
        ),
    ),
    "prep/record/commands.py": (
        (
            "from prep.record.unit.commands.steps import",
            "from prep.record.unit.commands.washing import WashUnit\n"
            "from prep.record.unit.commands.steps import",
        ),
        ("    HoldUnit,\n    ResumeUnit,\n", "    HoldUnit,\n    WashUnit,\n    ResumeUnit,\n"),
    ),
}
WORDS: Mapping[str, tuple[tuple[str, str], ...]] = {
    "prep/words/commands.py": (
        (
            '    "unit.hold": CommandWords(',
            '    "unit.wash": CommandWords(gettext_noop("Washed"), gettext_noop("Save")),\n'
            '    "unit.hold": CommandWords(',
        ),
        (
            '    "unit.held": gettext_noop(',
            '    "unit.washed": gettext_noop("Washed: {reason}"),\n    "unit.held": gettext_noop(',
        ),
    ),
}

ASK = """
import json, os, sys
os.environ["DJANGO_SETTINGS_MODULE"] = "prep.project.settings"
import django
django.setup()
from drf_spectacular.generators import SchemaGenerator
from prep.pages.command_form import fields_of
from prep.pages.commands import OFFERED
from prep.record.commands import COMMANDS
from reports.permissions import permission_rows
schema = SchemaGenerator().get_schema(request=None, public=True)
operation = schema["paths"].get("/api/v1/units/{unit}/wash", {}).get("post", {})
body = operation.get("requestBody", {}).get("content", {}).get("application/json", {})
print(json.dumps({
    "address": bool(operation),
    "summary": operation.get("summary"),
    "schema": body.get("schema"),
    "examples": [one["value"] for one in body.get("examples", {}).values()],
    "form": [field.name for field in fields_of(OFFERED["unit.wash"])],
    "roles": [sorted(row.roles) for row in permission_rows() if row.name == "unit.wash"],
}))
"""


@pytest.fixture
def copy(tmp_path: Path) -> Path:
    """A copy of the tree."""
    for package in (*PACKAGES, "tests"):
        shutil.copytree(ROOT / package, tmp_path / package)
    for name in ("pyproject.toml", "manage.py"):
        shutil.copy(ROOT / name, tmp_path / name)
    return tmp_path


def plant(root: Path, additions: Mapping[str, tuple[tuple[str, str], ...]]) -> None:
    """Put additions in a tree: a new file, or text in place of text that is there once."""
    for name, replacements in additions.items():
        path = root / name
        text = path.read_text() if path.exists() else ""
        for old, new in replacements:
            if not old:
                text = new
            else:
                assert text.count(old) == 1, f"{name} no longer has {old!r} once"
                text = text.replace(old, new)
        path.write_text(text)


def asked(root: Path, program: str) -> Any:
    """What a program run in a tree prints, decoded."""
    answer = subprocess.run(
        [sys.executable, "-c", program],
        cwd=root,
        capture_output=True,
        text=True,
        check=False,
        env={"PATH": "", "YARDPROOF_DATA": str(root / "data")},
    )
    assert answer.returncode == 0, answer.stderr[-2000:]
    return json.loads(answer.stdout)


def pytest_of(root: Path, *tests: str) -> tuple[int, str]:
    """Exit code and output of tests run in a tree."""
    answer = subprocess.run(
        [
            sys.executable,
            "-m",
            "pytest",
            "-q",
            "-p",
            "no:randomly",
            "-p",
            "no:cacheprovider",
            *tests,
        ],
        cwd=root,
        capture_output=True,
        text=True,
        check=False,
        env={"PATH": "", "YARDPROOF_DATA": str(root / "data")},
    )
    return answer.returncode, answer.stdout


def test_a_command_is_one_struct_its_event_and_its_words(copy: Path) -> None:
    """At most five files; endpoint, schema, example, form and permission row follow."""
    plant(copy, {**COMMAND, **WORDS})
    assert len({**COMMAND, **WORDS}) <= 5
    assert asked(copy, ASK) == {
        "address": True,
        "summary": "Record that a unit was washed",
        "schema": {"$ref": "#/components/schemas/WashUnit"},
        "examples": [{"reason": "Wrong washer fitted"}],
        "form": ["reason"],
        "roles": [["service manager", "technician"]],
    }
    assert pytest_of(copy, "tests/words/test_commands.py")[0] == 0


def test_a_command_without_its_words_is_named(copy: Path) -> None:
    """Negative control of the completeness test."""
    plant(copy, COMMAND)
    code, output = pytest_of(copy, "tests/words/test_commands.py")
    assert code == 1
    assert "unit.wash" in output
    assert "unit.washed" in output


QUANTITY: Mapping[str, tuple[tuple[str, str], ...]] = {
    "prep/rules/quantities/unit_table.py": (
        (
            '    (\n        "torque",\n',
            '    ("illuminance", "lx", "lx", False, (("lx", 1, 0, "lx"), ("klx", 1000, 0, "klx"))),'
            "\n"
            '    (\n        "torque",\n',
        ),
    ),
    "prep/rules/quantities/usual_units.py": (
        (
            '    "torque": ("ft·lbf", "N·m", "in·lbf",',
            '    "illuminance": ("lx",),\n    "torque": ("ft·lbf", "N·m", "in·lbf",',
        ),
    ),
    "prep/rules/quantities/plausible.py": (
        ('    "torque": ("0",', '    "illuminance": ("0", "200000"),\n    "torque": ("0",'),
    ),
}

READ = """
import json
from prep.rules.entries.read import read
entry = read("5.2 klx", "illuminance")
print(json.dumps([str(entry.measured.canonical()), entry.measured.unit.symbol]))
"""


def test_a_quantity_is_a_row_of_units_and_its_usual_ones(copy: Path) -> None:
    """Three files; then what is typed in it can be read, and converted exactly."""
    plant(copy, QUANTITY)
    assert asked(copy, READ) == ["5200", "klx"]


def test_the_word_of_a_verdict_stands_in_one_line() -> None:
    """Page, PDF and API get it from there; another word is another line, once."""
    lines = [
        f"{path.relative_to(ROOT).as_posix()}: {line.strip()}"
        for package in PACKAGES
        for ending in ("*.py", "*.html", "*.js")
        for path in (ROOT / package).rglob(ending)
        for line in path.read_text().splitlines()
        if "in limit (conforming)" in line
    ]
    assert lines == ['prep/words/verdicts.py: Verdict.CONFORMING: _("in limit (conforming)"),']
