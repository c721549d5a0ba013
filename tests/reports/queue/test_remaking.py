"""Lost and damaged files: put back with the same bytes, stood in for, and never written over."""

from io import StringIO
from pathlib import Path
from typing import Any
from uuid import uuid4

import pytest
from django.core.files.storage import default_storage
from django.core.management import CommandError, call_command

from prep.models import Event
from prep.queries.records import record_of
from prep.record.refusal import Refusal
from prep.record.unit import events as e
from prep.verify.run import verify
from reports import queue
from reports.document_kind import BuiltFile, Progress, temporary_file
from reports.models import DocumentRequest, Outcome, Remake, State
from reports.queue import remaking
from reports.registry import KINDS
from tests.actions.kept import codes
from tests.cast import Yard
from tests.document_kinds import built_by
from tests.reports.queue.fixtures import _one_line_builders, _own_folders, files

__all__ = ["_one_line_builders", "_own_folders"]


@pytest.fixture
def printed(yard: Yard) -> DocumentRequest:
    """Labels of a unit, made."""
    request = queue.request(kind="labels", cause="a", unit=yard.receive(), person=yard.ada)
    queue.run_due()
    request.refresh_from_db()
    assert request.state == State.DONE
    return request


def path_of(request: DocumentRequest) -> Path:
    """Where the file of a document lies."""
    return Path(default_storage.path(str(request.file)))


def content(request: DocumentRequest) -> bytes:
    """What is handed out of a document."""
    request.refresh_from_db()
    with queue.open_file(request) as opened:
        return bytes(opened.read())


def lose(request: DocumentRequest) -> bytes:
    """The file is gone; gives what it was."""
    was = path_of(request).read_bytes()
    path_of(request).unlink()
    return was


def damage(request: DocumentRequest) -> bytes:
    """Somebody wrote into the file; gives what it was."""
    was = path_of(request).read_bytes()
    path_of(request).write_bytes(was + b" (invented)")
    return was


def made_otherwise(monkeypatch: pytest.MonkeyPatch, kind: str = "labels") -> None:
    """The program was changed since: it writes other bytes."""

    def build(request: DocumentRequest, progress: Progress) -> BuiltFile:
        path = temporary_file(request, ".txt")
        path.write_text(f"otherwise {request.seed}")
        progress(1, 1)
        return BuiltFile(path, f"{kind}.txt", f"N-{request.seed}".replace(" ", "-"), "text/plain")

    monkeypatch.setitem(KINDS, kind, built_by(kind, build))


def remade(request: DocumentRequest, person: Any = None) -> Remake:
    """The file made again by the workers."""
    job = queue.remake(request, person)
    queue.run_due()
    job.refresh_from_db()
    return job


@pytest.mark.parametrize(("harm", "found"), [(lose, "lost"), (damage, "damaged")])
def test_the_same_bytes_are_put_back_and_the_log_tells_it(
    yard: Yard, printed: DocumentRequest, harm: Any, found: str
) -> None:
    """In the name of whoever asked; the document is the one it was."""
    before = Event.objects.count()
    was = harm(printed)
    job = remade(printed, yard.mira)
    assert (job.state, job.outcome, job.found) == (State.DONE, Outcome.SAME, found)
    assert content(printed) == was
    row = Event.objects.get(kind="document.remade")
    assert (row.stream, row.stream_id) == ("unit", str(printed.unit_id))
    assert (row.actor, row.actor_name) == (str(yard.mira.pk), str(yard.mira))
    event = e.decode(row.body)
    assert event == e.DocumentRemade(str(printed.pk), printed.number, printed.digest, found)
    assert Event.objects.count() == before + 1
    assert DocumentRequest.objects.count() == 1
    assert codes(verify()) == []


def test_a_damaged_file_is_kept_aside_word_for_word(printed: DocumentRequest) -> None:
    """It is evidence; neither another damage nor another remake writes over it."""
    kept = []
    for _ in range(2):
        damage(printed)
        kept.append(path_of(printed).read_bytes())
        path_of(printed).write_bytes(kept[-1] + str(len(kept)).encode())
        kept[-1] = path_of(printed).read_bytes()
        remade(printed)
        printed.refresh_from_db()
    aside = [name for name in files() if name.startswith(".damaged/")]
    assert sorted(Path(default_storage.path(name)).read_bytes() for name in aside) == sorted(kept)
    assert len(files()) == 3
    assert codes(verify()) == []


def test_a_document_of_no_unit_is_told_in_a_stream_of_its_own(yard: Yard) -> None:
    """After the event that issued it."""
    request = queue.request(kind="labels", cause="b", person=yard.ada)
    queue.run_due()
    request.refresh_from_db()
    lose(request)
    remade(request)
    told = Event.objects.filter(stream="document", stream_id=str(request.pk)).order_by("version")
    assert [(one.version, one.kind) for one in told] == [
        (1, "document.issued"),
        (2, "document.remade"),
    ]


def test_an_intact_file_is_not_made_again(printed: DocumentRequest) -> None:
    """Refused before anything is written."""
    with pytest.raises(Refusal, match="file-intact"):
        queue.remake(printed, None)
    assert not Remake.objects.exists()


def test_a_document_that_was_never_made_is_not_made_again(yard: Yard) -> None:
    """It is made once, by the queue."""
    request = queue.request(kind="labels", cause="c", unit=yard.receive())
    with pytest.raises(Refusal, match="not-made-yet"):
        queue.remake(request, None)


def test_asked_twice_it_is_made_once(yard: Yard, printed: DocumentRequest) -> None:
    """The second who asks gets the job of the first."""
    lose(printed)
    first, second = queue.remake(printed, yard.ada), queue.remake(printed, yard.ben)
    assert first == second
    queue.run_due()
    assert Event.objects.filter(kind="document.remade").count() == 1
    lose(printed_again := DocumentRequest.objects.get(pk=printed.pk))
    assert queue.remake(printed_again, yard.ben) != first


def test_a_file_restored_meanwhile_is_left_alone(printed: DocumentRequest) -> None:
    """By somebody who had a backup: nothing is told, because nothing was done."""
    was = lose(printed)
    job = queue.remake(printed, None)
    path_of(printed).parent.mkdir(parents=True, exist_ok=True)
    path_of(printed).write_bytes(was)
    queue.run_due()
    job.refresh_from_db()
    assert (job.state, job.outcome) == (State.DONE, Outcome.INTACT)
    assert not Event.objects.filter(kind="document.remade").exists()


@pytest.mark.parametrize(("harm", "found"), [(lose, "lost"), (damage, "damaged")])
def test_what_comes_out_otherwise_stands_in_under_a_number_of_its_own(
    printed: DocumentRequest, monkeypatch: pytest.MonkeyPatch, harm: Any, found: str
) -> None:
    """It replaces the lost one in the log, and the damaged file stays where it is."""
    harm(printed)
    damaged = path_of(printed).read_bytes() if found == "damaged" else None
    made_otherwise(monkeypatch)
    job = remade(printed)
    assert (job.state, job.outcome) == (State.DONE, Outcome.STAND_IN)
    stand_in = job.stand_in
    assert stand_in is not None
    assert stand_in.state == State.DONE, stand_in.failure
    assert (stand_in.replaces, stand_in.instead, stand_in.cause) == (printed, found, printed.cause)
    assert stand_in.number not in {"", printed.number}
    assert printed.standing == stand_in
    assert printed.unit_id is not None
    issued = [one for one, _ in record_of(printed.unit_id).documents]
    assert [(one.replaces, one.instead) for one in issued] == [("", ""), (str(printed.pk), found)]
    if damaged:
        assert path_of(printed).read_bytes() == damaged
    assert codes(verify()) == []
    with pytest.raises(Refusal, match="file-intact"):
        queue.remake(stand_in, None)


def test_what_stands_in_can_be_lost_too(
    printed: DocumentRequest, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Put back where it can be, else stood in for by a third."""
    lose(printed)
    made_otherwise(monkeypatch)
    second = remade(printed).stand_in
    assert second is not None
    was = lose(second)
    assert remade(second).outcome == Outcome.SAME
    assert content(second) == was
    lose(second)
    monkeypatch.setattr("reports.queue.publishing.measure", lambda path: ("0" * 64, 1))
    job = remade(second)
    assert job.stand_in is not None
    assert (job.stand_in.edition, job.stand_in.replaces) == (2, second)
    assert printed.standing == job.stand_in


def test_a_document_that_was_replaced_gets_none_that_stands_in(
    yard: Yard, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A later release has its own certificate; one for the earlier would seem to stand again."""
    unit = yard.ready()
    older = queue.request(kind="certificate", cause="one", unit=unit)
    newer = queue.request(kind="certificate", cause="two", unit=unit)
    queue.run_due()
    for request in (older, newer):
        request.refresh_from_db()
    assert newer.replaces == older
    was = lose(older)
    assert remade(older).outcome == Outcome.SAME
    assert content(older) == was
    lose(older)
    made_otherwise(monkeypatch, "certificate")
    job = remade(older)
    assert (job.state, "replaced-already" in job.failure) == (State.FAILED, True)
    assert DocumentRequest.objects.filter(unit=unit).count() == 2


def test_what_stands_in_is_what_a_later_one_replaces(
    yard: Yard, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The line of succession goes on from it."""
    unit = yard.ready()
    first = queue.request(kind="certificate", cause="one", unit=unit)
    queue.run_due()
    first.refresh_from_db()
    lose(first)
    made_otherwise(monkeypatch, "certificate")
    stand_in = remade(first).stand_in
    later = queue.request(kind="certificate", cause="two", unit=unit)
    queue.run_due()
    later.refresh_from_db()
    assert later.replaces == stand_in


def test_a_damaged_part_is_mended_first(yard: Yard, monkeypatch: pytest.MonkeyPatch) -> None:
    """A bundle would be made again around a damaged certificate, and stand in for a sound one."""
    parts: list[DocumentRequest] = []
    kind = built_by("labels", KINDS["labels"].build)
    object.__setattr__(kind, "parts", lambda request: parts)
    monkeypatch.setitem(KINDS, "labels", kind)
    unit = yard.receive()
    part = queue.request(kind="certificate", cause="p", unit=unit)
    whole = queue.request(kind="labels", cause="w", unit=unit)
    queue.run_due()
    for request in (part, whole):
        request.refresh_from_db()
    parts.append(part)
    lose(part)
    lose(whole)
    job = remade(whole)
    assert job.state == State.FAILED
    assert "parts-damaged" in job.failure
    assert part.number in job.failure
    remade(part)
    part.refresh_from_db()
    assert remade(whole).outcome == Outcome.SAME


def test_a_builder_that_fails_is_tried_again(
    printed: DocumentRequest, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Nothing is lost by it; the failure is said."""
    was = lose(printed)
    good = KINDS["labels"]

    def breaking(request: DocumentRequest, progress: Progress) -> BuiltFile:
        raise OSError("the disk is on fire (invented)")

    monkeypatch.setitem(KINDS, "labels", built_by("labels", breaking))
    job = remade(printed)
    assert (job.state, job.tries) == (State.WAITING, 1)
    assert "on fire" in job.failure
    monkeypatch.setitem(KINDS, "labels", good)
    Remake.objects.update(due=job.created)
    queue.run_due()
    job.refresh_from_db()
    assert job.outcome == Outcome.SAME
    assert content(printed) == was


def test_a_worker_that_lost_its_claim_publishes_nothing(printed: DocumentRequest) -> None:
    """Another took the job over: only one of them puts a file back and tells it."""
    lose(printed)
    job = queue.remake(printed, None)
    slow = remaking._claim()
    assert slow is not None
    Remake.objects.filter(pk=job.pk).update(lease_until=job.created)
    queue.run_due()
    with pytest.raises(queue.ClaimLost):
        remaking._put_back(slow, DocumentRequest.objects.get(pk=printed.pk), rebuilt(printed))
    assert Event.objects.filter(kind="document.remade").count() == 1
    assert len(files()) == 1


def rebuilt(request: DocumentRequest) -> BuiltFile:
    """What a slow worker had built."""
    request.refresh_from_db()
    request.worker = uuid4()
    return KINDS["labels"].build(request, lambda done, total: None)


def test_a_storage_that_cannot_be_read_says_nothing_of_the_file(
    printed: DocumentRequest, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It is neither lost nor damaged for that."""

    def closed(*args: Any, **more: Any) -> Any:
        raise PermissionError(13, "closed (invented)")

    monkeypatch.setattr(default_storage, "open", closed)
    with pytest.raises(PermissionError):
        queue.remake(printed, None)
    assert not Remake.objects.exists()


def said(*numbers: str) -> str:
    """What the console says."""
    out = StringIO()
    call_command("remake", *numbers, stdout=out, stderr=out)
    return out.getvalue()


def test_the_console_makes_it_again_and_says_what_became_of_it(
    printed: DocumentRequest, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Put back, stood in for; an intact one and an unknown number are refused in words."""
    DocumentRequest.objects.update(number="LABC")
    printed.refresh_from_db()
    with pytest.raises(CommandError, match="Not made again: LABC"):
        said("LABC")
    with pytest.raises(CommandError, match="Not made again: LXYZ"):
        said("LXYZ")
    lose(printed)
    assert "The file was lost. It was made again with the same bytes" in said("labc")
    damage(DocumentRequest.objects.get(pk=printed.pk))
    made_otherwise(monkeypatch)
    stood = said("LABC")
    assert "The file was damaged. It could not be made again with the same bytes; N-a-1" in stood


def test_a_verification_names_the_command_that_mends_it(printed: DocumentRequest) -> None:
    """Lost or damaged; after it, nothing is found."""
    for harm in (damage, lose):
        harm(DocumentRequest.objects.get(pk=printed.pk))
        report = verify()
        assert codes(report)
        assert report.findings[0].values["number"] == printed.number
        remade(DocumentRequest.objects.get(pk=printed.pk))
        assert codes(verify()) == []


@pytest.mark.usefixtures("db")
def test_an_unknown_document_is_refused() -> None:
    """Whatever was typed."""
    for typed in ("", "C-0000", "\ud800", "x" * 10_000):
        with pytest.raises(Refusal, match="no-such-document"):
            queue.document_numbered(typed)


def test_a_remake_reads_as_what_it_is(printed: DocumentRequest) -> None:
    """In a debugger and a worker's log."""
    lose(printed)
    assert str(queue.remake(printed, None)) == f"{printed.number} again: waiting"
