"""The log is held against the roots in the certificates and bundles that were issued."""

from pathlib import Path
from typing import Any

import pytest
from django.core.files.storage import default_storage
from django.utils import timezone

from prep.actions import sealing
from prep.models import Checkpoint, Event, Leaf, LogKey
from prep.queries import log
from prep.record.log import signed_notes
from prep.verify.findings import Finding
from prep.verify.run import Report, verify
from reports import queue
from reports.issued_checkpoints import checkpoints_of
from reports.models import DocumentRequest
from tests.actions.kept import codes, rows, texts, unguarded
from tests.cast import Yard
from tests.reports.sold_units import buyer_with_address, hand_over, ready_for
from tests.stored_files import own_folders
from tests.verify.forging import rebuilt_tree


@pytest.fixture
def issued(yard: Yard, settings: Any, tmp_path: Path) -> Yard:
    """A yard that released and handed over one unit, with its certificate and its bundle."""
    own_folders(settings, tmp_path)
    unit = ready_for(yard, buyer_with_address(yard))
    sealing.seal()
    yard.release(unit)
    hand_over(yard, unit)
    queue.catch_up()
    while queue.run_due():
        DocumentRequest.objects.filter(state="waiting").update(due=timezone.now())
    queue.request(kind="verification", cause="1", person=yard.rhea)
    queue.catch_up()
    queue.run_due()
    assert DocumentRequest.objects.filter(state="done").count() == 3
    sealing.seal()
    return yard


def about_documents(report: Report) -> list[Finding]:
    """The findings that name a document's root."""
    return [one for one in report.findings if one.code.startswith("document-")]


def test_certificate_bundle_and_report_each_hold_a_checkpoint(issued: Yard) -> None:
    """A signed one of this log; and all of them agree with it."""
    sizes = set(Checkpoint.objects.values_list("size", flat=True))
    for request in DocumentRequest.objects.all():
        notes = checkpoints_of(request)
        assert len(notes) == 1, request.kind
        text = signed_notes.verify_note(notes[0], log.public_keys())
        assert signed_notes.parse_checkpoint(text).size in sizes
    report = verify()
    assert texts(report) == []
    agree = next(one for one in report.proved if one.code == "documents-agree")
    assert agree.values["count"] == 3


def test_a_log_signed_again_as_a_whole_with_another_key_is_found(issued: Yard) -> None:
    """The key that signed them is gone; whoever forged the log cannot sign them anew."""
    with unguarded():
        event = Event.objects.filter(kind="reading.taken").earliest("pk")
        rows(Event).filter(pk=event.pk).update(actor_name="Nobody Invented")
        rebuilt_tree({event.pk})
        old = signed_notes.parse_verifier_key(LogKey.objects.get().verifier)
        rows(LogKey).all().delete()
        rows(Checkpoint).all().delete()
        sealing.seal()
        report = verify()
    found = about_documents(report)
    assert [one.code for one in found] == ["document-other-key"] * 3
    assert {one.values["key"] for one in found} == {old.id.hex()}
    assert "documents-agree" not in {one.code for one in report.proved}


def test_a_log_cut_short_with_its_index_mended_is_found(issued: Yard) -> None:
    """Every later checkpoint, entry and event is gone, as if it had ended there."""
    first = Checkpoint.objects.earliest("size")
    with unguarded():
        late = list(Leaf.objects.filter(position__gte=first.size).values_list("event", flat=True))
        rows(Leaf).filter(position__gte=first.size).delete()
        rows(Checkpoint).filter(size__gt=first.size).delete()
        rows(Event).filter(pk__in=late)._raw_delete("default")
        rebuilt_tree()
        report = verify()
    assert "document-log-short" in codes(report)
    certificate = DocumentRequest.objects.get(kind="certificate").number
    [said] = [
        text
        for text in texts(report)
        if f"The delivery certificate {certificate} was issued over" in text
    ]
    assert f"the log now ends after entry {first.size}." in said


def test_an_old_entry_rewritten_with_the_checkpoints_taken_away_is_found(issued: Yard) -> None:
    """The tree is whole and nothing signed contradicts it, but the documents do."""
    with unguarded():
        event = Event.objects.filter(kind="reading.taken").earliest("pk")
        rows(Event).filter(pk=event.pk).update(actor_name="Nobody Invented")
        rebuilt_tree({event.pk})
        rows(Checkpoint).all().delete()
        report = verify()
    assert [one.code for one in about_documents(report)] == ["document-log-differs"] * 3


def test_an_altered_file_is_named_as_altered_and_proves_nothing(issued: Yard) -> None:
    """Its root is not held against the log: it may be anybody's."""
    request = DocumentRequest.objects.get(kind="certificate")
    path = Path(default_storage.path(str(request.file)))
    path.write_bytes(path.read_bytes() + b"\n%")
    report = verify()
    assert codes(report) == ["document-file-altered"]
    agree = next(one for one in report.proved if one.code == "documents-agree")
    assert agree.values["count"] == 2


@pytest.mark.parametrize("content", [b"", b"%PDF-1.7\n", b"PK\x03\x04", b"{", b"\xff" * 100])
def test_a_file_of_another_kind_holds_none_and_stops_nothing(issued: Yard, content: bytes) -> None:
    """Whatever its row says of it."""
    for request in DocumentRequest.objects.all():
        Path(default_storage.path(str(request.file))).write_bytes(content)
        assert checkpoints_of(request) == []
