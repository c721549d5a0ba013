"""A campaign of random single changes behind the service's back: none may go unseen."""

import os
import random
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any
from uuid import UUID, uuid4

from django.core.files.storage import default_storage
from django.db import DatabaseError, models, transaction
from django.utils import timezone

from prep.actions.verifying import findings, verify
from prep.models import (
    Buyer,
    Checkpoint,
    Event,
    Flag,
    Instrument,
    Leaf,
    LogKey,
    MachineModel,
    Membership,
    Photo,
    ProcedureRevision,
    Reading,
    Recipient,
    SignOff,
    Site,
    TreeNode,
    Unit,
    UnitStep,
)
from reports.models import DocumentRequest
from tests.actions.kept import kept, rows, unguarded
from tests.cast import Yard

__all__ = ["kept"]

# Columns left out carry no evidence: surrogate numbers of rows that are found by
# something else, and the moment a key was published, which only orders keys.
EVIDENCE: dict[type[models.Model], tuple[str, ...]] = {
    table: tuple(f.attname for f in table._meta.concrete_fields if f.attname not in left_out)
    for table, left_out in {
        Event: (),
        Leaf: (),
        TreeNode: ("id",),
        Checkpoint: (),
        LogKey: ("created",),
        Unit: (),
        UnitStep: ("id",),
        Reading: (),
        Flag: (),
        SignOff: ("id",),
        Site: (),
        Membership: ("id",),
        MachineModel: (),
        Instrument: (),
        ProcedureRevision: (),
        Photo: (),
        Buyer: ("site_id",),
        Recipient: (),
    }.items()
}
EVIDENCE[DocumentRequest] = (
    *("id", "form", "cause", "unit_id", "state", "file"),
    *("digest", "bytes", "number", "replaces_id"),
)
# Removing an older checkpoint takes a copy of a signature away and no evidence: the newer ones
# cover what it covered.
REMOVABLE = [table for table in EVIDENCE if table is not Checkpoint]
CAMPAIGN = int(os.environ.get("YARDPROOF_CAMPAIGN", "250"))  # 1000 and more before a release
MICROSECOND = timedelta(microseconds=1)


@dataclass
class Change:
    """One change of one thing, and how it reads."""

    told: str
    make: Callable[[], None]


def altered(value: Any, chance: random.Random) -> Any:
    """Another value of the same kind."""
    for kind, alter in ALTER.items():
        if isinstance(value, kind):
            return alter(value, chance)
    return None


def altered_text(value: str, chance: random.Random) -> str:
    """A character more, less or another."""
    place = chance.randrange(len(value) + 1)
    kind = chance.choice(["more", "less", "other"]) if value else "more"
    if kind == "more":
        return value[:place] + chance.choice("09 aZ+\n") + value[place:]
    place = min(place, len(value) - 1)
    if kind == "less":
        return value[:place] + value[place + 1 :]
    other = chance.choice([c for c in '019afZ{}" ' if c != value[place]])
    return value[:place] + other + value[place + 1 :]


ALTER: dict[type, Callable[[Any, random.Random], Any]] = {
    bool: lambda value, chance: not value,
    int: lambda value, chance: value + chance.choice([1, 2, 7]),
    str: altered_text,
    datetime: lambda value, chance: value + chance.choice([MICROSECOND, timedelta(days=1)]),
    UUID: lambda value, chance: UUID(int=value.int ^ 1 << chance.randrange(120)),
    list: lambda value, chance: [*value, "added"],
    dict: lambda value, chance: {**value, "added": 1},
}


def a_change(chance: random.Random) -> Change | None:
    """A random single change of a random row, or of a file; None where it came to nothing."""
    kind = chance.choices(["column", "remove", "add", "exchange", "file"], [60, 12, 8, 12, 8])[0]
    if kind == "file":
        return a_changed_file(chance)
    table = chance.choice(REMOVABLE if kind == "remove" else list(EVIDENCE))
    row = chance.choice(list(rows(table).order_by("pk")))
    name = f"{table.__name__} {row.pk}"
    this = rows(table).filter(pk=row.pk)
    if kind == "remove":
        return Change(f"{name} removed", lambda: void(this._raw_delete("default")))
    column = chance.choice(EVIDENCE[table])
    value = getattr(row, column)
    value = (
        str(value) if table._meta.get_field(column).get_internal_type() == "FileField" else value
    )
    if kind == "add":
        return an_added_row(table, row, chance)
    if kind == "exchange":
        return an_exchange(table, row, column, chance)
    new = timezone.now() if value is None and column == "erased" else altered(value, chance)
    if new is None or new == value:
        return None
    return Change(f"{name}: {column} {value!r} -> {new!r}", lambda: update(this, column, new))


def update(this: models.QuerySet[Any], column: str, value: Any) -> None:
    """Write one column and nothing else."""
    this.update(**{column: value})


def an_added_row(table: type[models.Model], row: Any, chance: random.Random) -> Change | None:
    """A copy of a row under another key."""
    key = table._meta.pk.attname
    new = None if table._meta.auto_field else altered(row.pk, chance)
    setattr(row, key, new)
    if isinstance(row, UnitStep | Membership | SignOff | TreeNode | Event):
        column = {UnitStep: "step", Membership: "role", SignOff: "version", TreeNode: "index"}.get(
            type(row), "version"
        )
        setattr(row, column, altered(getattr(row, column), chance))
    if isinstance(row, Event):
        row.command = uuid4()
    if isinstance(row, Buyer | Recipient):
        return None  # a person nobody speaks of proves nothing and harms nothing
    return Change(f"{table.__name__} added: {new}", lambda: add(table, row))


def add(table: type[models.Model], row: Any) -> None:
    """Insert a row past the model."""
    rows(table).bulk_create([row])


def an_exchange(
    table: type[models.Model], row: Any, column: str, chance: random.Random
) -> Change | None:
    """Two rows exchange a value; keys and unique columns cannot."""
    other = chance.choice(list(rows(table).order_by("pk")))
    mine, theirs = getattr(row, column), getattr(other, column)
    if mine == theirs or getattr(table._meta.get_field(column), "unique", False):
        return None

    def make() -> None:
        update(rows(table).filter(pk=row.pk), column, theirs)
        update(rows(table).filter(pk=other.pk), column, mine)

    return Change(f"{table.__name__} {row.pk}, {other.pk} exchange {column}", make)


def a_changed_file(chance: random.Random) -> Change:
    """One bit of a stored file, its end, or the whole of it."""
    names = [str(f) for f in Photo.objects.values_list("file", flat=True)]
    names += [str(f) for f in DocumentRequest.objects.values_list("file", flat=True)]
    path = Path(default_storage.path(chance.choice(sorted(names))))
    content = bytearray(path.read_bytes())
    kind = chance.choice(["bit", "cut", "longer"])
    if kind == "bit":
        content[chance.randrange(len(content))] ^= 1 << chance.randrange(8)
    elif kind == "cut":
        content = content[: chance.randrange(len(content))]
    else:
        content += b"\n"
    return Change(f"{path.name}: {kind}", lambda: void(path.write_bytes(content)))


def void(written: int) -> None:
    """A result nobody needs."""


def seen(change: Change) -> bool | None:
    """Whether one change, undone afterwards, is found; None where the database refused it."""
    files = {
        path: path.read_bytes()
        for path in Path(default_storage.path("")).rglob("*.*")
        if path.is_file()
    }
    try:
        with transaction.atomic():
            try:
                with transaction.atomic():
                    change.make()
            except (DatabaseError, ValueError, OverflowError):
                return None
            found = any(True for _ in findings())
            transaction.set_rollback(True)
            return found
    finally:
        for path, content in files.items():
            path.write_bytes(content)


def test_of_all_single_changes_none_goes_unseen(kept: tuple[Yard, UUID]) -> None:
    """Columns changed, rows removed, added and exchanged, files changed: each one is found, and
    the control before and after finds nothing."""
    chance = random.Random(20260302)
    assert verify().holds
    unseen, made, kinds = [], 0, set()
    with unguarded():
        while made < CAMPAIGN:
            change = a_change(chance)
            was_seen = seen(change) if change else None
            if change is None or was_seen is None:
                continue
            made += 1
            kinds.add(change.told.split()[0])
            if not was_seen:
                unseen.append(change.told)
    assert unseen == []
    assert len(kinds) > 15
    assert verify().holds
