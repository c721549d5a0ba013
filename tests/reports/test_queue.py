"""Documents are asked for as rows, made once, and lost by nobody."""

import errno
from datetime import timedelta
from pathlib import Path
from typing import Any
from uuid import UUID

import pytest
from django.core.files.storage import default_storage
from django.utils import timezone

from prep.actions import sealing, units
from prep.actions.writing import ITSELF, Command, change_unit
from prep.models import Event
from prep.queries.records import record_of
from prep.record import releasing
from prep.record.refusal import Refusal
from prep.record.roles import Actor, Role
from reports import publishing, queue, work
from reports.builders import BUILDERS, BuiltFile, Progress, temporary_file
from reports.models import Cursor, DocumentRequest, State
from tests.cast import Yard


@pytest.fixture(autouse=True)
def _own_folders(settings: Any, tmp_path: Path) -> None:
    """Keys and files of a test lie in a folder of its own."""
    settings.KEYS = tmp_path
    settings.MEDIA_ROOT = tmp_path / "files"


def plain(request: DocumentRequest, progress: Progress) -> BuiltFile:
    """A builder that writes one line."""
    path = temporary_file(request, ".txt")
    path.write_text(f"{request.form} for {request.cause}")
    progress(1, 1)
    return BuiltFile(path, f"{request.form}.txt", f"N-{request.cause[:8]}", "text/plain")


@pytest.fixture(autouse=True)
def _plain_builders(monkeypatch: pytest.MonkeyPatch) -> None:
    """Every form is built by the plain builder."""
    for form in ("certificate", "registration", "labels"):
        monkeypatch.setitem(BUILDERS, form, plain)


@pytest.fixture
def breaking(monkeypatch: pytest.MonkeyPatch) -> list[Exception]:
    """Labels are built by a builder that raises what this list holds, then builds."""
    wrongs: list[Exception] = []

    def build(request: DocumentRequest, progress: Progress) -> BuiltFile:
        if wrongs:
            raise wrongs.pop()
        return plain(request, progress)

    monkeypatch.setitem(BUILDERS, "labels", build)
    return wrongs


def files() -> list[str]:
    """Everything in the storage, published or not."""
    root = Path(default_storage.path(""))
    return sorted(str(path.relative_to(root)) for path in root.rglob("*") if path.is_file())


def only(form: str = "certificate") -> DocumentRequest:
    """The one request of a form."""
    return DocumentRequest.objects.get(form=form)


def hurry() -> None:
    """Everything that waits for a later try is due now."""
    DocumentRequest.objects.filter(state=State.WAITING).update(due=timezone.now())


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
        assert opened.read().decode() == f"certificate for {request.cause}"
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
    forms = queue.requests_of(unit).values_list("form", "state")
    assert sorted(forms) == [("certificate", "done"), ("registration", "done")]
    handover = record_of(unit).handover
    assert handover is not None
    assert only("registration").cause == handover[0].handover


def test_a_second_release_names_the_certificate_it_replaces(yard: Yard) -> None:
    """The first certificate stays; the second says which one it corrects."""
    unit = yard.ready()
    yard.release(unit)
    queue.catch_up()
    units.reopen(actor=yard.mira, command=Command(), unit=unit, reason="Serial misread (invented)")
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
    units.reopen(actor=yard.mira, command=Command(), unit=unit, reason="Serial misread (invented)")
    yard.release(unit)
    queue.catch_up()
    first = work._claim()
    assert first is not None
    assert first.cause == record_of(unit).releases[0].event.release
    assert not work.run_one()


def test_asking_twice_is_asking_once(yard: Yard) -> None:
    """One document a form and cause, whoever asks again."""
    unit = yard.receive()
    first = queue.request(form="labels", cause="a", unit=unit, person=yard.ada)
    again = queue.request(form="labels", cause="a", unit=unit, person=yard.ben)
    other = queue.request(form="labels", cause="b", unit=unit)
    assert first == again
    assert first != other
    assert again.person == yard.ada


def test_a_form_nobody_makes_is_refused(db: None) -> None:
    """The refusal says which forms there are."""
    with pytest.raises(Refusal, match=r"There is no form “poem”\. Known: .*certificate, labels"):
        queue.request(form="poem", cause="a")


def test_a_document_of_no_single_unit_has_a_stream_of_its_own_in_the_log(db: None) -> None:
    """An audit bundle covers many units; its digest is in the log all the same."""
    request = queue.request(form="labels", cause="a", parameters={"sheet": "A4"})
    queue.run_due()
    request.refresh_from_db()
    event = Event.objects.get(kind="document.issued")
    assert (event.stream, event.stream_id, event.version) == ("document", str(request.pk), 1)
    assert request.state == State.DONE
    assert f'"digest":"{request.digest}"' in event.body


def test_a_document_of_no_unit_made_again_must_be_the_same(db: None) -> None:
    """Rebuilt alike it is one entry; rebuilt otherwise it is refused, and the row says why."""
    request = queue.request(form="labels", cause="a")
    queue.run_due()
    again = DocumentRequest.objects.filter(pk=request.pk)
    again.update(state=State.WAITING)
    queue.run_due()
    assert Event.objects.filter(kind="document.issued").count() == 1
    again.update(state=State.WAITING, cause="b")
    queue.run_due()
    request.refresh_from_db()
    assert request.state == State.FAILED
    assert "was already issued, and differs from it" in request.failure
    assert Event.objects.filter(kind="document.issued").count() == 1


def test_what_fails_is_tried_again_later_and_says_why(db: None, breaking: list[Exception]) -> None:
    """The failure stands on the row; the waits are 10 s, 1 min, 6 min, 36 min."""
    breaking.extend(OSError(errno.ENOSPC, "invented") for _ in range(4))
    request = queue.request(form="labels", cause="a")
    waits = []
    for _ in range(4):
        hurry()
        before = timezone.now()
        assert queue.run_due() == 1
        request.refresh_from_db()
        waits.append(round((request.due - before).total_seconds(), -1))
        assert request.state == State.WAITING
    assert waits == [10, 60, 360, 2160]
    assert request.failure == (
        "Try 4 of 5: The disk for the files is full. Make room on it. It is tried again by itself."
    )
    hurry()
    queue.run_due()
    request.refresh_from_db()
    assert (request.state, request.failure) == (State.DONE, "")


def test_after_five_tries_a_person_has_to_look(db: None, breaking: list[Exception]) -> None:
    """Failed for good until somebody retries; then it is made."""
    breaking.extend(OSError("the disk is full (invented)") for _ in range(5))
    request = queue.request(form="labels", cause="a")
    for _ in range(5):
        hurry()
        queue.run_due()
    hurry()
    assert queue.run_due() == 0
    request.refresh_from_db()
    assert request.state == State.FAILED
    with pytest.raises(Refusal, match="not made yet"):
        queue.open_file(request)
    queue.retry(request)
    assert (request.state, request.failure, request.tries) == (State.WAITING, "", 0)
    queue.run_due()
    request.refresh_from_db()
    assert request.state == State.DONE


def test_a_refusal_is_not_tried_again(db: None, breaking: list[Exception]) -> None:
    """What is missing does not appear by trying; the row says what to do."""
    breaking.append(Refusal("data-missing", "The buyer's address is missing."))
    request = queue.request(form="labels", cause="a")
    queue.run_due()
    request.refresh_from_db()
    assert request.state == State.FAILED
    assert request.failure == (
        "Try 1 of 5: The buyer's address is missing. Put it right, then retry."
    )


def test_a_failed_try_leaves_no_file(db: None, monkeypatch: pytest.MonkeyPatch) -> None:
    """A builder that breaks off half-way leaves nothing published and nothing half-written."""

    def half(request: DocumentRequest, progress: Progress) -> BuiltFile:
        path = temporary_file(request, ".txt")
        path.write_text("half")
        monkeypatch.setattr(publishing, "measure", broken)
        return BuiltFile(path, "half.txt", "1", "text/plain")

    def broken(path: Path) -> tuple[str, int]:
        raise OSError("read error (invented)")

    monkeypatch.setitem(BUILDERS, "labels", half)
    queue.request(form="labels", cause="a")
    queue.run_due()
    assert files() == []


def test_a_cancelled_request_is_not_made(db: None) -> None:
    """Cancelled while it waits; retried, it is made after all."""
    request = queue.request(form="labels", cause="a")
    queue.cancel(request)
    assert queue.run_due() == 0
    queue.retry(request)
    assert queue.run_due() == 1
    request.refresh_from_db()
    assert request.state == State.DONE
    with pytest.raises(Refusal, match="no longer being made"):
        queue.cancel(request)
    with pytest.raises(Refusal, match="made already"):
        queue.retry(request)


def test_cancelled_while_it_is_built_the_file_is_dropped(
    yard: Yard, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The builder's next word of progress ends it; neither file nor event remains."""
    unit = yard.receive()

    def build(request: DocumentRequest, progress: Progress) -> BuiltFile:
        queue.cancel(DocumentRequest.objects.get(pk=request.pk))
        return plain(request, progress)

    monkeypatch.setitem(BUILDERS, "labels", build)
    request = queue.request(form="labels", cause="a", unit=unit)
    queue.run_due()
    request.refresh_from_db()
    assert request.state == State.CANCELLED
    assert record_of(unit).documents == []
    assert [name for name in files() if "documents" in name] == []


def test_a_claim_that_ran_out_is_taken_over_and_the_first_worker_loses(yard: Yard) -> None:
    """The first worker was only slow: its file is dropped, the second one's stands."""
    unit = yard.receive()
    request = queue.request(form="labels", cause="a", unit=unit)
    slow = work._claim()
    assert slow is not None
    assert work._claim() is None
    DocumentRequest.objects.update(lease_until=timezone.now() - timedelta(seconds=1))
    assert queue.run_due() == 1
    with pytest.raises(work.ClaimLost):
        work._make(slow)
    request.refresh_from_db()
    assert (request.state, request.tries) == (State.DONE, 2)
    assert len(record_of(unit).documents) == 1
    assert files() == [str(request.file)]


def test_progress_keeps_a_long_claim_alive(db: None, monkeypatch: pytest.MonkeyPatch) -> None:
    """Each word of progress is shown and puts the end of the claim off."""
    seen: list[Any] = []

    def build(request: DocumentRequest, progress: Progress) -> BuiltFile:
        DocumentRequest.objects.update(lease_until=timezone.now())
        progress(40, 100)
        seen.append(DocumentRequest.objects.values("steps_done", "steps_total").get())
        assert work._claim() is None
        return plain(request, progress)

    monkeypatch.setitem(BUILDERS, "labels", build)
    queue.request(form="labels", cause="a")
    queue.run_due()
    assert seen == [{"steps_done": 40, "steps_total": 100}]
    made = DocumentRequest.objects.get()
    assert (made.state, made.steps_done, made.steps_total) == (State.DONE, 100, 100)


def test_a_worker_that_dies_every_time_is_not_followed_for_ever(db: None) -> None:
    """Five silent deaths, then the row says so."""
    request = queue.request(form="labels", cause="a")
    for _ in range(5):
        assert work._claim() is not None
        DocumentRequest.objects.update(lease_until=timezone.now() - timedelta(seconds=1))
    assert queue.run_due() == 0
    request.refresh_from_db()
    assert request.state == State.FAILED
    assert request.failure == (
        "Try 5 of 5: The worker making it stopped without a word: it was killed, ran out of "
        "memory, or lost its power. Put it right, then retry."
    )


def test_what_a_dead_worker_published_is_removed(yard: Yard) -> None:
    """Killed after publishing and before saying so: the next try leaves one good file."""
    unit = yard.receive()
    request = queue.request(form="labels", cause="a", unit=unit)
    dead = work._claim()
    assert dead is not None
    left = publishing.publish(dead, plain(dead, lambda done, total: None))
    assert files() == [left]
    DocumentRequest.objects.update(lease_until=timezone.now() - timedelta(seconds=1))
    queue.run_due()
    request.refresh_from_db()
    assert files() == [str(request.file)]
    assert str(request.file) != left


def test_a_file_built_on_another_disk_is_moved_whole(
    db: None, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """Only beside the published files is a move atomic, so it is copied there first."""

    def elsewhere(request: DocumentRequest, progress: Progress) -> BuiltFile:
        path = tmp_path / "elsewhere.txt"
        path.write_text("whole")
        return BuiltFile(path, "elsewhere.txt", "1", "text/plain")

    moved: list[str] = []

    def noted(request: DocumentRequest, ending: str) -> Path:
        moved.append(ending)
        return temporary_file(request, ending)

    monkeypatch.setitem(BUILDERS, "labels", elsewhere)
    monkeypatch.setattr(publishing, "_device", lambda path: path.parent == tmp_path)
    monkeypatch.setattr(publishing, "temporary_file", noted)
    request = queue.request(form="labels", cause="a")
    queue.run_due()
    request.refresh_from_db()
    with queue.open_file(request) as opened:
        assert opened.read() == b"whole"
    assert moved == [".txt"]
    assert files() == [str(request.file)]


def test_a_missing_file_is_told_and_not_made_up(db: None) -> None:
    """Whoever asks for a file that is gone hears what to do."""
    request = queue.request(form="labels", cause="a")
    queue.run_due()
    request.refresh_from_db()
    default_storage.delete(str(request.file))
    with pytest.raises(Refusal, match=r"gone from the storage\. Restore it"):
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
        with pytest.raises(Refusal, match="Only a service manager may release units"):
            change_unit(
                actor=actor,
                unit=unit,
                command=Command(),
                request=["unit.release"],
                decide=lambda record, context: releasing.release(
                    record, context, seen=releasing.sheet_digest(record)
                ),
            )
    assert record_of(unit).release is None


def test_no_broker_loses_nothing(
    settings: Any, monkeypatch: pytest.MonkeyPatch, yard: Yard, caplog: pytest.LogCaptureFixture
) -> None:
    """The command stands, the log says the broker was away, the sweep finds the work."""

    def away(**_: Any) -> None:
        raise ConnectionError("connection refused (invented)")

    settings.SERVICE = True
    monkeypatch.setattr("reports.tasks.sweep.apply_async", away)
    monkeypatch.setattr("reports.tasks.run_one.apply_async", away)
    unit = yard.ready()
    yard.release(unit)
    queue.log_grew()
    queue._tell()
    assert caplog.text.count("the broker did not take word") == 2
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
    monkeypatch.setattr("reports.tasks.run_one.apply_async", lambda **_: sent.append(UUID(int=1)))
    with django_capture_on_commit_callbacks(execute=True):
        queue.request(form="labels", cause="a")
        queue.request(form="labels", cause="a")
        assert sent == []
    assert len(sent) == 1
