"""Tables are written in few places, and what is written matches the migrations."""

import ast
from collections.abc import Iterator

import pytest
from django.core.management import call_command

from tests.architecture.tree import modules

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


def table_writes(source: str) -> Iterator[tuple[int, str]]:
    """Line and name of every call in a module that looks like a table write."""
    for node in ast.walk(ast.parse(source)):
        if not isinstance(node, ast.Call) or not isinstance(node.func, ast.Attribute):
            continue
        if node.func.attr in WRITES and not _of_plain_python(node):
            yield node.lineno, node.func.attr


def _of_plain_python(call: ast.Call) -> bool:
    """`names.update(mapping)` of a dict or set: one positional argument, no keyword."""
    assert isinstance(call.func, ast.Attribute)
    return call.func.attr == "update" and bool(call.args) and not call.keywords


def test_tables_are_written_in_actions_only() -> None:
    """Pages, API and queries read; whoever wants to write calls an action."""
    writes = [
        f"{name}:{line} .{verb}()"
        for name, path in modules()
        if not name.startswith((*WRITERS, *PURE))
        for line, verb in table_writes(path.read_text())
        if verb not in NO_TABLE.get(name, set())
    ]
    assert writes == []


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
def test_a_planted_write_is_reported(line: str) -> None:
    """Negative control of the syntax-tree check, related managers included."""
    assert len(list(table_writes(line))) == 1


def test_the_migrations_are_up_to_date(db: None) -> None:
    """No model differs from what the migrations make."""
    call_command("makemigrations", check=True, dry_run=True, verbosity=0)
