"""An import stopped, killed or interrupted goes on where it was, and does nothing twice."""

import os
import signal
import traceback
from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.db import connections
from django.utils import timezone

from prep.actions.perform import perform
from prep.models import Event, Unit
from prep.record.refusal import Refusal
from prep.words.imports.states import STATES
from prep.words.reader import ENGLISH
from reports import imports, queue
from reports.imports import worker
from reports.models import Import, Stage, State
from reports.queue import worker as document_worker
from tests.cast import Yard, make_yard
from tests.concurrency.processes import own_connections
from tests.refusals import refused
from tests.reports.imports.sent import problems, send, units, work

SERIALS = [f"{number:05}" for number in range(120)]


def accepted(yard: Yard, **more: Any) -> Import:
    """A list of 120 units that no worker has looked at yet."""
    return imports.accept(
        actor=yard.otto,
        kind="units",
        content=units(*SERIALS),
        name="list.csv",
        command=uuid4(),
        site=yard.site,
        **more,
    )


def test_a_long_import_lets_others_work_after_each_slice(
    yard: Yard, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Each slice ends with its progress stored; the counts are those of one go."""
    monkeypatch.setattr(worker, "SLICE", timedelta(0))
    job = accepted(yard, run=True)
    seen = []
    while job.state in queue.UNFINISHED:
        assert queue.run_one()
        job.refresh_from_db()
        seen.append((job.stage, job.steps_done))
    assert (job.made, job.fit, Unit.objects.count()) == (120, 120, 120)
    assert len(seen) > 100
    assert [done for stage, done in seen if stage == Stage.CHECK][:3] == [1, 2, 3]


def test_what_a_broken_slice_had_done_is_not_done_twice(
    yard: Yard, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The rows after the last stored progress are sent again, each under its own id."""
    job = accepted(yard, run=True)
    given = []

    def failing(command: Any, **more: Any) -> Any:
        given.append(command.serial)
        if len(given) == 80:
            raise OSError("the disk is away (invented)")
        return perform(command, **more)

    monkeypatch.setattr(worker, "perform", failing)
    work(job)
    assert (job.state, job.steps_done, Unit.objects.count()) == (State.WAITING, 50, 79)
    assert "Try 1 of 5" in queue.failure_of(job, ENGLISH)
    Import.objects.update(due=timezone.now())
    work(job)
    assert (job.state, job.made, Unit.objects.count()) == (State.DONE, 120, 120)
    assert given.count("00060") == 2
    assert Event.objects.filter(kind="unit.received").count() == 120


def test_a_row_that_fails_again_and_again_ends_the_import_for_now(
    yard: Yard, monkeypatch: pytest.MonkeyPatch
) -> None:
    """After five tries without a row of progress; what was done stays, and it can be resumed."""

    def failing(command: Any, **more: Any) -> Any:
        raise OSError("the disk is away (invented)")

    job = accepted(yard, run=True)
    with monkeypatch.context() as patch:
        patch.setattr(worker, "perform", failing)
        for _ in range(6):
            Import.objects.filter(state=State.WAITING).update(due=timezone.now())
            work(job)
    assert (job.stage, job.state, job.tries) == (Stage.RUN, State.FAILED, 5)
    imports.resume(job)
    work(job)
    assert (job.state, job.made) == (State.DONE, 120)


def test_a_stopped_import_keeps_what_is_done_and_goes_on_when_told(
    yard: Yard, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Stopped between two rows by whoever sent it."""
    job = accepted(yard, run=True)

    def stopping(command: Any, **more: Any) -> Any:
        if command.serial == "00070":
            imports.stop(Import.objects.get(pk=job.pk))
        return perform(command, **more)

    with monkeypatch.context() as patch:
        patch.setattr(worker, "perform", stopping)
        work(job)
    assert (job.stage, job.state) == (Stage.RUN, State.CANCELLED)
    assert Unit.objects.count() == 100  # the batch in hand; its progress could not be stored
    refused("already-finished", imports.stop, job)
    imports.resume(job)
    work(job)
    assert (job.state, job.made, Unit.objects.count()) == (State.DONE, 120, 120)
    refused("not-stopped", imports.resume, job)


def test_an_import_can_only_be_started_as_it_stands(yard: Yard) -> None:
    """Not while it is checked, not after a check that stopped, and not twice in two ways."""
    job = accepted(yard)
    refused("import-busy", imports.start, job, skip_problems=False)
    imports.stop(job)
    refused("import-not-checked", imports.start, job, skip_problems=False)
    imports.resume(job)
    work(job)
    imports.start(job, skip_problems=False)
    imports.start(job, skip_problems=False)
    refused("import-ran", imports.start, job, skip_problems=True)
    work(job)
    assert job.made == 120


def test_the_file_of_an_import_nobody_runs_is_erased_after_a_month(yard: Yard) -> None:
    """With the next file somebody sends, and what it said; then it has to be sent again."""
    old = send(yard, units("1", "="))
    assert len(problems(old)) == 1
    Import.objects.update(created=timezone.now() - timedelta(days=31))
    send(yard, units("2"))
    old.refresh_from_db()
    assert (old.content, problems(old)) == (None, [])
    refused("import-file-erased", imports.start, old, skip_problems=True)


def test_documents_come_before_imports(yard: Yard) -> None:
    """Somebody waits for them at a counter."""
    order = [one.carry_out for one in queue.WORK]
    assert order.index(document_worker._make) < order.index(worker.carry_out)


def test_every_stage_and_state_has_its_words() -> None:
    """Neither is left without, and no word is left over."""
    assert set(STATES) == {f"{stage} {state}" for stage in Stage.values for state in State.values}


def _killed_at(serial: str) -> int:
    """Exit status of a worker process that is killed before it receives a unit."""
    connections.close_all()
    child = os.fork()
    if child:
        return os.waitpid(child, 0)[1]

    def dying(command: Any, **more: Any) -> Any:
        if command.serial == serial:
            os.kill(os.getpid(), signal.SIGKILL)
        return perform(command, **more)

    try:
        own_connections()
        pytest.MonkeyPatch().setattr(worker, "perform", dying)
        queue.run_due()
    except BaseException:
        traceback.print_exc()
    finally:
        os._exit(0)  # whatever happened: it must not go on as a second runner of the tests


@pytest.mark.django_db(transaction=True)
def test_a_killed_worker_loses_nothing_and_doubles_nothing() -> None:
    """Killed three times in the run; the lease runs out, and another goes on."""
    job = accepted(make_yard(), run=True)
    for serial in ("00003", "00051", "00099"):
        assert _killed_at(serial) == signal.SIGKILL
        job.refresh_from_db()
        assert job.state == State.WORKING
        assert not queue.run_one()  # its lease still runs
        Import.objects.update(lease_until=timezone.now() - timedelta(seconds=1))
    work(job)
    assert (job.state, job.made, problems(job)) == (State.DONE, 120, [])
    assert list(Unit.objects.order_by("serial").values_list("serial", flat=True)) == SERIALS
    received = Event.objects.filter(kind="unit.received")
    assert received.count() == len(set(received.values_list("command", flat=True))) == 120


def test_an_import_of_a_person_without_a_role_is_refused_before_the_file_is_read(
    yard: Yard,
) -> None:
    """Nothing is learned of the file or of the yard."""
    with pytest.raises(Refusal) as caught:
        send(yard, b"\0", actor=yard.rhea)
    assert caught.value.code == "not-allowed"
