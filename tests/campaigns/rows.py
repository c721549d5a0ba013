"""Random single changes of rows and stored files, behind the service's back."""

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

from prep.actions.beside_the_log.pictures import PHOTO
from prep.models import (
    Buyer,
    Checkpoint,
    Event,
    Flag,
    FormerParticulars,
    Instrument,
    Leaf,
    LogKey,
    MachineModel,
    Membership,
    Person,
    Photo,
    ProcedureRevision,
    Reading,
    Recipient,
    SignOff,
    Site,
    TreeNode,
    Unit,
    UnitStep,
    Unsealed,
)
from prep.record.refusal import Refusal
from prep.verify.accounts import accounts
from prep.verify.checkpoints import checkpoints
from prep.verify.findings import Check
from prep.verify.index import units
from prep.verify.log import events, nodes, order
from prep.verify.reference_data import reference_data
from prep.verify.run import CHECKS, findings
from reports.models import DocumentRequest
from reports.queue.checks import documents, files
from tests.actions.kept import rows
from tests.campaigns.plan import altered_bytes, altered_text

# Columns left out carry no evidence: surrogate numbers of rows that are found by something else,
# and the moment a key was published, which only orders keys.
EVIDENCE: dict[type[models.Model], tuple[str, ...]] = {
    table: tuple(f.attname for f in table._meta.concrete_fields if f.attname not in left_out)
    for table, left_out in {
        Event: (),
        Leaf: (),
        Unsealed: (),
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
        Buyer: (),
        FormerParticulars: ("id",),
        Recipient: (),
    }.items()
}
EVIDENCE[Person] = (
    *("username", "printed_name", "password", "pin"),
    *("is_active", "is_superuser", "is_staff"),
    *("status", "language", "units", "decimal_comma"),
)
EVIDENCE[DocumentRequest] = (
    *("id", "kind", "cause", "unit_id", "state", "file"),
    *("digest", "bytes", "number", "replaces_id", "instead", "edition"),
)
WATCH: dict[type[models.Model], Check] = {
    **dict.fromkeys((Event, Leaf), events),
    Unsealed: order,
    TreeNode: nodes,
    **dict.fromkeys((Checkpoint, LogKey), checkpoints),
    **dict.fromkeys(
        (Site, Membership, MachineModel, Instrument, ProcedureRevision), reference_data
    ),
    **dict.fromkeys((Buyer, FormerParticulars), reference_data),
    DocumentRequest: documents,
    Person: accounts,
}
MICROSECOND = timedelta(microseconds=1)


@dataclass
class Change:
    """One change of one thing, how it reads, and which check watches over it."""

    told: str
    make: Callable[[], None]
    watched: Check
    undo: Callable[[], None] = lambda: None


def altered(value: Any, chance: random.Random) -> Any:
    """Another value of the same kind."""
    for kind, alter in ALTER.items():
        if isinstance(value, kind):
            return alter(value, chance)
    return None


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
    table = chance.choice(list(EVIDENCE))
    row = chance.choice(list(rows(table).order_by("pk")))
    name = f"{table.__name__} {row.pk}"
    this = rows(table).filter(pk=row.pk)
    if kind == "remove":
        return Change(f"{name} removed", lambda: void(this._raw_delete("default")), watch(table))
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
    told = f"{name}: {column} {value!r} -> {new!r}"
    return Change(told, lambda: update(this, column, new), watch(table))


def watch(table: type[models.Model]) -> Check:
    """The check that holds a table against the log."""
    return WATCH.get(table, units)


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
    if isinstance(row, Recipient):
        return None  # a person nobody speaks of proves nothing and harms nothing
    return Change(f"{table.__name__} added: {new}", lambda: add(table, row), watch(table))


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

    return Change(f"{table.__name__} {row.pk}, {other.pk} exchange {column}", make, watch(table))


def a_changed_file(chance: random.Random) -> Change | None:
    """A stored file altered, taken away, exchanged for another, or put beside the others."""
    digests = Photo.objects.values_list("digest").union(Photo.objects.values_list("small"))
    pictures = [PHOTO.file(digest) for (digest,) in digests]
    papers = [str(name) for name in DocumentRequest.objects.values_list("file", flat=True)]
    name, other = chance.sample(sorted(pictures + papers), 2)
    path = Path(default_storage.path(name))
    content = path.read_bytes()
    watched = units if name in pictures else documents
    kind = chance.choice(["altered", "altered", "gone", "exchanged", "added"])
    if kind == "added":
        return an_added_file(path.with_name(f"{chance.randrange(10**6)}{path.suffix}"))
    altered = altered_bytes(content, chance)
    if altered == content:
        return None
    kinds: dict[str, Callable[[], None]] = {
        "altered": lambda: void(path.write_bytes(altered)),
        "gone": path.unlink,
        "exchanged": lambda: void(path.write_bytes(Path(default_storage.path(other)).read_bytes())),
    }
    return Change(f"{name}: {kind}", kinds[kind], watched, lambda: void(path.write_bytes(content)))


def an_added_file(path: Path) -> Change:
    """A file that is no record's, put there yesterday."""

    def make() -> None:
        path.write_bytes(b"put here by somebody (invented)")
        os.utime(path, (0, 0))

    return Change(f"{path.name}: added", make, files, path.unlink)


def void(written: int) -> None:
    """A result nobody needs."""


def seen(change: Change) -> bool | None:
    """Whether one change, undone afterwards, is found; None where the database refused it.

    The checks are those of a verification; the one that watches over what was changed goes first.
    """
    try:
        with transaction.atomic():
            try:
                with transaction.atomic():
                    change.make()
            except (DatabaseError, ValueError, OverflowError, Refusal):  # it fits no column
                return None
            first = sorted(CHECKS, key=lambda check: check is not change.watched)
            found = any(True for _ in findings(checks=first))
            transaction.set_rollback(True)
            return found
    finally:
        change.undo()
