"""A week's record of a yard, and ways to change it behind the service's back."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from uuid import UUID

import pytest
from django.db import connection, models, transaction

from prep.actions import buyers, sealing, sites
from prep.actions.unit import entries, receiving, releases
from prep.actions.write_path import Command
from prep.models import Buyer, triggers
from prep.record.roles import Role
from prep.verify.run import Report
from reports import queue
from reports.document_kind import BuiltFile, Progress, temporary_file
from reports.models import DocumentRequest
from reports.registry import KINDS
from tests.cast import Yard
from tests.document_kinds import built_by

PICTURE = b"\xff\xd8\xff\xe0 an invented picture"


def plain(request: DocumentRequest, progress: Progress) -> BuiltFile:
    """A builder that writes one line."""
    path = temporary_file(request, ".txt")
    path.write_text(f"{request.kind} for {request.cause}")
    return BuiltFile(path, f"{request.kind}.txt", f"N-{request.cause[:8]}", "text/plain")


@pytest.fixture
def kept(
    yard: Yard, settings: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> tuple[Yard, UUID]:
    """A yard after a week: one unit handed over with its documents, its buyer corrected since; one
    in work; three checkpoints by two keys, and events that still wait for their seal."""
    settings.KEYS, settings.MEDIA_ROOT = tmp_path / "keys", tmp_path / "files"
    settings.KEYS.mkdir()
    for kind in ("certificate", "registration"):
        monkeypatch.setitem(KINDS, kind, built_by(kind, plain))
    unit = yard.ready()
    sealing.seal()
    yard.release(unit)
    queue.catch_up()
    releases.reopen(
        actor=yard.mira, command=Command(), unit=unit, reason="Serial misread (invented)"
    )
    yard.release(unit)
    yard.hand_over(unit)
    buyers.amend(actor=yard.sol, command=Command(), buyer=Buyer.objects.get().pk, phone="555 0100")
    sealing.new_key()
    queue.catch_up()
    queue.run_due()
    other = yard.started()
    yard.block_deck(other)
    yard.acknowledge(other, "blades")
    entries.attach_photo(
        actor=yard.ada,
        command=Command(),
        unit=other,
        step="blades",
        line="torque",
        position="left",
        content=PICTURE,
    )
    yard.take(other, "blades", "torque", "300 ft lb", position="left", instrument="W-1")
    sites.remove_member(
        actor=yard.otto, command=Command(), site=yard.site, person=yard.rhea, role=Role.AUDITOR
    )
    sealing.seal()
    receiving.place(actor=yard.ada, command=Command(), unit=other, place="row 4")
    return yard, unit


@contextmanager
def unguarded() -> Iterator[None]:
    """Changes made behind the service's back, undone afterwards."""
    with transaction.atomic():
        triggers.remove(connection)
        yield
        transaction.set_rollback(True)


def rows(table: type[models.Model]) -> models.QuerySet[Any]:
    """All rows of a table, without the queryset that refuses to change them."""
    return models.QuerySet(table)


def texts(report: Report) -> list[str]:
    """The sentences of a report."""
    return [finding.text for finding in report.findings]
