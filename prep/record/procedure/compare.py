"""Comparing two revisions of a procedure: steps added, removed and changed, and where."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Final

import msgspec

from prep.record.procedure.document import Procedure

# Fields that identify the members of a list: a member with another code is another member.
CODES: Final = ("line", "item")
WHOLE: Final = ("title", "models", "manual", "note", "serials", "cautions")


@dataclass(frozen=True)
class Difference:
    """One place that differs: its path, and its value before and after (None: nothing there)."""

    path: str
    before: Any
    after: Any


@dataclass(frozen=True)
class ChangedStep:
    """A step that both revisions have, and how it differs."""

    step: str
    title: str
    differences: tuple[Difference, ...]


@dataclass(frozen=True)
class Comparison:
    """Differences between two revisions.

    `document` holds the differences outside the steps. Moving a sheet re-opens every changed step;
    added steps are to be done, removed ones drop out.
    """

    document: tuple[Difference, ...]
    added: tuple[str, ...]
    removed: tuple[str, ...]
    changed: tuple[ChangedStep, ...]


def compare(before: Procedure, after: Procedure) -> Comparison:
    """Compare two revisions; steps are matched by their codes, wherever they stand."""
    old, new = before.steps, after.steps
    return Comparison(
        document=tuple(
            difference
            for name in WHOLE
            for difference in _differences(
                name, _plain(getattr(before, name)), _plain(getattr(after, name))
            )
        ),
        added=tuple(code for code in new if code not in old),
        removed=tuple(code for code in old if code not in new),
        changed=tuple(
            ChangedStep(code, step.title, tuple(_differences("", _plain(old[code]), _plain(step))))
            for code, step in new.items()
            if code in old and old[code] != step
        ),
    )


def _plain(value: Any) -> Any:
    return msgspec.to_builtins(value)


def _differences(path: str, before: Any, after: Any) -> Iterator[Difference]:
    if before == after:
        return
    old, new = _by_code(before), _by_code(after)
    if old is None or new is None:
        yield Difference(path, before, after)
        return
    for name in dict.fromkeys([*old, *new]):
        inner = f"{path}.{name}".lstrip(".")
        yield from _differences(inner, old.get(name), new.get(name))


def _by_code(value: Any) -> dict[str, Any] | None:
    """Members by name or code; None for a value that is compared as a whole."""
    if isinstance(value, dict):
        return value
    if isinstance(value, list) and value and all(isinstance(member, dict) for member in value):
        for code in CODES:
            if all(code in member for member in value):
                return {member[code]: member for member in value}
    return None
