"""A week's record of a yard, and ways to change it behind the service's back."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from uuid import UUID

import pytest
from django.db import connection, models, transaction

from prep.actions import sealing
from prep.actions.perform import perform
from prep.models import Buyer, triggers
from prep.record.buyer.commands import AmendBuyer
from prep.record.roles import Role
from prep.record.site.commands import TakeRole
from prep.record.unit.commands.photos import AttachPhoto
from prep.record.unit.commands.receiving import SetLocation
from prep.record.unit.commands.releases import ReopenUnit
from prep.verify.guards import guards
from prep.verify.run import CHECKS, Report
from prep.words.reader import ENGLISH
from prep.words.verification.sentences import finding_text
from reports import queue
from reports.document_kind import BuiltFile, Progress, temporary_file
from reports.models import DocumentRequest
from reports.registry import KINDS
from tests.cast import NOT_THE_WORK, Yard
from tests.document_kinds import built_by
from tests.stored_files import picture

PICTURE = picture()


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
    perform(
        ReopenUnit(reason="Serial misread (invented)", nothing_because=NOT_THE_WORK),
        actor=yard.mira,
        target=unit,
    )
    yard.release(unit)
    yard.hand_over(unit)
    perform(AmendBuyer(phone="555 0100"), actor=yard.sol, target=Buyer.objects.get().pk)
    sealing.new_key()
    queue.catch_up()
    queue.run_due()
    other = yard.started()
    yard.block_deck(other)
    yard.acknowledge(other, "blades")
    perform(
        AttachPhoto(step="blades", line="torque", position="left"),
        actor=yard.ada,
        target=other,
        attachment=PICTURE,
    )
    yard.take(other, "blades", "torque", "300 ft lb", position="left", instrument="W-1")
    perform(
        TakeRole(person=yard.rhea.username, role=Role.AUDITOR), actor=yard.otto, target=yard.site
    )
    sealing.seal()
    perform(SetLocation(place="row 4"), actor=yard.ada, target=other)
    return yard, unit


@contextmanager
def unguarded() -> Iterator[None]:
    """Changes made behind the service's back, undone afterwards.

    Meanwhile nobody looks at the guards themselves; `tests/verify/test_guards.py` does.
    """
    checks = list(CHECKS)
    CHECKS[:] = [check for check in checks if check is not guards]
    try:
        with transaction.atomic():
            triggers.remove(connection)
            yield
            transaction.set_rollback(True)
    finally:
        CHECKS[:] = checks


def rows(table: type[models.Model]) -> models.QuerySet[Any]:
    """All rows of a table, without the queryset that refuses to change them."""
    return models.QuerySet(table)


def texts(report: Report) -> list[str]:
    """The sentences of a report."""
    return [finding_text(one.code, one.values, ENGLISH) for one in report.findings]


def codes(report: Report) -> list[str]:
    """The codes of a report's findings."""
    return [one.code for one in report.findings]
