"""Two who have one lost file made again, and two workers who make it: it is made and told once."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from django.core.files.storage import default_storage
from django.db import connection

from prep.models import Event
from reports import queue
from reports.models import DocumentRequest, Outcome, Remake, State
from reports.queue import remaking
from reports.registry import KINDS
from tests.cast import Yard, make_yard
from tests.concurrency.processes import in_processes
from tests.document_kinds import built_by, one_line

pytestmark = [pytest.mark.postgres, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def printed(settings: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> DocumentRequest:
    """Labels that were made and lost, committed, so that other processes see them."""
    settings.KEYS, settings.MEDIA_ROOT = tmp_path, tmp_path / "files"
    settings.SERVICE = False
    monkeypatch.setitem(KINDS, "labels", built_by("labels", one_line))
    yard: Yard = make_yard()
    request = queue.request(kind="labels", cause="a", unit=yard.receive(), person=yard.ada)
    queue.run_due()
    request.refresh_from_db()
    Path(default_storage.path(str(request.file))).unlink()
    return request


def ask_four_times_at_once(document: DocumentRequest) -> list[Any]:
    """Four people press the button in the same moment."""
    return in_processes(*[lambda: queue.remake(document, None).pk] * 4)


def test_asked_for_four_times_at_once_it_is_one_job(printed: DocumentRequest) -> None:
    """All four get the same one."""
    asked = ask_four_times_at_once(printed)
    assert len(set(asked)) == Remake.objects.count() == 1
    queue.run_due()
    assert Event.objects.filter(kind="document.remade").count() == 1


@contextmanager
def without_the_constraint() -> Iterator[None]:
    """The table does not say that a file is made again once at a time."""
    constraint = next(
        one for one in Remake._meta.constraints if one.name == "remake_once_at_a_time"
    )
    with connection.schema_editor() as editor:
        editor.remove_constraint(Remake, constraint)
    try:
        yield
    finally:
        Remake.objects.all().delete()
        with connection.schema_editor() as editor:
            editor.add_constraint(Remake, constraint)


def test_without_the_constraint_it_would_be_several(printed: DocumentRequest) -> None:
    """Negative control: the same four, and nothing that stops the second."""
    with without_the_constraint():
        assert len(set(ask_four_times_at_once(printed))) == 4


def carry_out(job: Remake) -> str:
    """What one of two workers says who both believe that the claim is theirs."""
    try:
        remaking._carry_out(job)
    except queue.ClaimLost:
        return "lost"
    return "done"


def test_two_workers_on_one_remake_put_one_file_back(printed: DocumentRequest) -> None:
    """And tell it once; the other drops what it made."""
    queue.remake(printed, None)
    claimed = remaking._claim()
    assert claimed is not None
    in_processes(lambda: carry_out(claimed), lambda: carry_out(claimed))
    job = Remake.objects.get()
    assert (job.state, job.outcome) == (State.DONE, Outcome.SAME)
    assert Event.objects.filter(kind="document.remade").count() == 1
    printed.refresh_from_db()
    root = Path(default_storage.path(""))
    stored = [path for path in root.rglob("*") if path.is_file()]
    assert stored == [Path(default_storage.path(str(printed.file)))]


def test_two_workers_ask_for_one_that_stands_in(
    printed: DocumentRequest, monkeypatch: pytest.MonkeyPatch
) -> None:
    """However many find that the bytes cannot be made."""
    monkeypatch.setattr("reports.queue.publishing.measure", lambda path: ("0" * 64, 1))
    queue.remake(printed, None)
    claimed = remaking._claim()
    assert claimed is not None
    in_processes(lambda: carry_out(claimed), lambda: carry_out(claimed))
    assert DocumentRequest.objects.filter(instead="lost").count() == 1
