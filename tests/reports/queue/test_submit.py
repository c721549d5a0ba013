"""Documents are asked for as rows, made once, and lost by nobody."""

from pathlib import Path
from typing import Any
from uuid import UUID

import pytest
from django.core.files.storage import default_storage

from prep.actions import sealing
from prep.actions.log import CONSOLE, ITSELF
from prep.actions.perform import perform
from prep.models import Event
from prep.queries.records import record_of
from prep.queries.units import seen_by
from prep.record.refusal import Refusal
from prep.record.roles import Actor, Role
from prep.record.unit.commands.receiving import SetLocation
from prep.record.unit.commands.releases import ReleaseUnit, ReopenUnit, sheet_digest
from prep.words.reader import ENGLISH
from reports import queue
from reports.models import Cursor, DocumentRequest, State
from reports.queue import worker
from tests.cast import NOT_THE_WORK, PIN, Yard
from tests.refusals import refused
from tests.reports.queue.fixtures import _one_line_builders, _own_folders, files, only

__all__ = ["_one_line_builders", "_own_folders"]  # fixtures


def test_a_release_gives_one_certificate_whose_digest_is_in_the_log(yard: Yard) -> None:
    """Released, caught up twice, made once: the file, the row and the unit's log agree."""
    unit = yard.ready()
    yard.release(unit)
    assert queue.catch_up() == 1
    assert queue.catch_up() == 0
    assert queue.run_due() == 1
    assert queue.run_due() == 0
    request = only()
    release = record_of(unit).release
    assert release is not None
    assert request.cause == release.event.release
    assert request.state == State.DONE
    with queue.open_file(request) as opened:
        assert opened.read().decode() == request.cause
    [(issued, stamp)] = record_of(unit).documents
    assert (issued.document, issued.digest) == (str(request.pk), request.digest)
    assert (issued.bytes, issued.number) == (request.bytes, request.number)
    assert (stamp.actor, stamp.name) == ("service", "Yardproof service")
    assert files() == [str(request.file)]


def test_a_handover_gives_a_registration_bundle(yard: Yard) -> None:
    """Handed over, the bundle for the maker is made without anybody asking."""
    unit = yard.ready()
    yard.release(unit)
    yard.hand_over(unit)
    queue.catch_up()
    queue.run_due()
    forms = queue.requests_of(unit).values_list("kind", "state")
    assert sorted(forms) == [("certificate", "done"), ("registration", "done")]
    handover = record_of(unit).handover
    assert handover is not None
    assert only("registration").cause == handover[0].handover


def test_a_second_release_names_the_certificate_it_replaces(yard: Yard) -> None:
    """The first certificate stays; the second says which one it corrects."""
    unit = yard.ready()
    yard.release(unit)
    queue.catch_up()
    perform(
        ReopenUnit(reason="Serial misread (invented)", nothing_because=NOT_THE_WORK),
        actor=yard.mira,
        target=unit,
    )
    yard.release(unit)
    queue.catch_up()
    queue.run_due()
    newer, older = queue.requests_of(unit)
    assert newer.replaces == older
    assert older.replaces is None
    assert [x.replaces for x, _ in record_of(unit).documents] == ["", str(older.pk)]
    assert len(files()) == 2


def test_a_correction_waits_for_what_it_corrects(yard: Yard) -> None:
    """While the first certificate is being made, the second is not due."""
    unit = yard.ready()
    yard.release(unit)
    queue.catch_up()
    perform(
        ReopenUnit(reason="Serial misread (invented)", nothing_because=NOT_THE_WORK),
        actor=yard.mira,
        target=unit,
    )
    yard.release(unit)
    queue.catch_up()
    first = worker._claim()
    assert first is not None
    assert first.cause == record_of(unit).releases[0].event.release
    assert not worker.run_one()


def test_asking_twice_is_asking_once(yard: Yard) -> None:
    """One document a form and cause, whoever asks again."""
    unit = yard.receive()
    first = queue.request(kind="labels", cause="a", unit=unit, person=yard.ada)
    again = queue.request(kind="labels", cause="a", unit=unit, person=yard.ben)
    other = queue.request(kind="labels", cause="b", unit=unit)
    assert first == again
    assert first != other
    assert again.person == yard.ada


def test_a_kind_nobody_makes_is_refused(db: None) -> None:
    """The refusal says which kinds there are."""
    with pytest.raises(Refusal, match="no-such-kind") as no:
        queue.request(kind="poem", cause="a")
    assert no.value.details["typed"] == "poem"
    assert {"certificate", "labels"} <= set(no.value.details["known"])


def test_a_document_of_no_single_unit_has_a_stream_of_its_own_in_the_log(db: None) -> None:
    """An audit bundle covers many units; its digest is in the log all the same."""
    request = queue.request(kind="labels", cause="a", parameters={"sheet": "A4"})
    queue.run_due()
    request.refresh_from_db()
    event = Event.objects.get(kind="document.issued")
    assert (event.stream, event.stream_id, event.version) == ("document", str(request.pk), 1)
    assert request.state == State.DONE
    assert f'"digest":"{request.digest}"' in event.body


def test_a_document_of_no_unit_made_again_must_be_the_same(db: None) -> None:
    """Rebuilt alike it is one entry; rebuilt otherwise it is refused, and the row says why."""
    request = queue.request(kind="labels", cause="a")
    queue.run_due()
    again = DocumentRequest.objects.filter(pk=request.pk)
    again.update(state=State.WAITING)
    queue.run_due()
    assert Event.objects.filter(kind="document.issued").count() == 1
    again.update(state=State.WAITING, cause="b")
    queue.run_due()
    request.refresh_from_db()
    assert request.state == State.FAILED
    assert "was already issued with other contents" in queue.failure_of(request, ENGLISH)
    assert Event.objects.filter(kind="document.issued").count() == 1


def test_a_missing_file_is_told_and_not_made_up(db: None) -> None:
    """Whoever asks for a file that is gone hears what to do."""
    request = queue.request(kind="labels", cause="a")
    queue.run_due()
    request.refresh_from_db()
    default_storage.delete(str(request.file))
    with pytest.raises(Refusal, match="file-missing"):
        queue.open_file(request)


def test_the_cursor_moves_with_the_log_and_never_back(yard: Yard) -> None:
    """A consumer that was slower does not undo what a faster one has read."""
    yard.receive()
    queue.catch_up()
    end = Cursor.objects.get().read
    assert end == Event.objects.count()
    assert end > 0
    Cursor.objects.filter(read__lt=3).update(read=3)
    assert Cursor.objects.get().read == end


def test_no_seal_no_document(yard: Yard, tmp_path: Path) -> None:
    """Documents carry proofs; where the log cannot be sealed, none is begun."""
    unit = yard.ready()
    yard.release(unit)
    queue.catch_up()
    DocumentRequest.objects.all().delete()
    yard.receive()
    for key in tmp_path.glob("*.pem"):
        key.unlink()
    with pytest.raises(sealing.SealError, match="Restore the file from your backup"):
        queue.catch_up()
    assert not DocumentRequest.objects.exists()


def test_the_service_itself_has_no_say_in_the_yard(yard: Yard) -> None:
    """It enters finished files and nothing else; forged roles are not looked at."""
    unit = yard.ready()
    for actor in (ITSELF, Actor("service", "Yardproof service", frozenset(Role))):
        for command in (
            ReleaseUnit(seen=sheet_digest(record_of(unit)), pin=PIN),
            SetLocation(place="row 4"),
        ):
            refused("not-allowed", perform, command, actor=actor, target=unit)
    assert record_of(unit).release is None


def test_the_console_signs_nothing(yard: Yard) -> None:
    """Whoever may run commands on the machine enrolls people; a signature takes a person."""
    unit = yard.ready()
    release = ReleaseUnit(seen=sheet_digest(record_of(unit)), pin=PIN)
    refused("not-allowed", perform, release, actor=CONSOLE, target=unit)
    assert record_of(unit).release is None


def test_no_broker_loses_nothing(
    settings: Any, monkeypatch: pytest.MonkeyPatch, yard: Yard, caplog: pytest.LogCaptureFixture
) -> None:
    """The command stands, the log says the broker was away, the sweep finds the work."""

    def away(**_: Any) -> None:
        raise ConnectionError("connection refused (invented)")

    settings.SERVICE = True
    monkeypatch.setattr("reports.queue.tasks.sweep.apply_async", away)
    monkeypatch.setattr("reports.queue.tasks.run_one.apply_async", away)
    unit = yard.ready()
    yard.release(unit)
    queue.log_grew()
    queue.notify()
    # The second is not kept waiting for a broker that was away a moment ago.
    assert caplog.text.count("the broker did not take word") == 1
    assert queue.catch_up() == 1


def test_word_goes_out_only_after_the_commit(
    settings: Any,
    monkeypatch: pytest.MonkeyPatch,
    db: None,
    django_capture_on_commit_callbacks: Any,
) -> None:
    """A worker told too early would not find the row."""
    sent: list[UUID] = []
    settings.SERVICE = True
    monkeypatch.setattr(
        "reports.queue.tasks.run_one.apply_async", lambda **_: sent.append(UUID(int=1))
    )
    with django_capture_on_commit_callbacks(execute=True):
        queue.request(kind="labels", cause="a")
        queue.request(kind="labels", cause="a")
        assert sent == []
    assert len(sent) == 1


def test_the_office_and_whoever_asked_may_stop_a_document_and_nobody_else(yard: Yard) -> None:
    """Ben, a technician too, would only be in the way of Ada's labels."""
    unit = yard.receive()
    asked = queue.request(kind="labels", cause="a", unit=unit, person=yard.ada)
    may = {
        who: queue.may_stop(getattr(yard, who), asked, seen_by(getattr(yard, who), unit))
        for who in ("ada", "ben", "mira", "sol", "rhea", "otto")
    }
    assert [who for who, stops in may.items() if stops] == ["ada", "mira", "otto"]
