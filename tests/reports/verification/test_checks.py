"""Verification of the files: none altered, none missing, none added."""

import os
import time
from pathlib import Path
from uuid import UUID

import pytest
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage

from prep.models import MachineModel
from prep.queries import log
from prep.verify.run import verify
from reports import queue
from reports.models import Cursor, DocumentRequest
from reports.registry import KINDS
from tests.actions.kept import kept, plain, rows, texts, unguarded
from tests.cast import Yard
from tests.document_kinds import built_by

__all__ = ["kept"]

HOUR = 3600


def added(name: str, age: int) -> str:
    """A file put into the storage past every action, as old as that in seconds."""
    stored = default_storage.save(name, ContentFile(b"put here by somebody (invented)"))
    then = time.time() - age
    os.utime(default_storage.path(stored), (then, then))
    return stored


@pytest.mark.parametrize(
    "name", ["photos/another.jpg", "documents/extra/more/certificate.pdf", "list.txt"]
)
def test_a_file_that_belongs_to_no_record_is_named(kept: tuple[Yard, UUID], name: str) -> None:
    """Beside the pictures, beside the documents, or anywhere else in the storage."""
    stored = added(name, 2 * HOUR)
    assert texts(verify()) == [
        f"The file {stored} belongs to no record: it was added, or left behind when something was "
        "interrupted. Remove it from the storage."
    ]
    default_storage.delete(stored)
    assert texts(verify()) == []


def test_a_file_that_just_came_may_still_wait_for_its_row(kept: tuple[Yard, UUID]) -> None:
    """Somebody is uploading; and what is being built is nobody's file yet."""
    added("photos/another.jpg", 60)
    building = Path(default_storage.path(".building")) / "some" / "try.pdf"
    building.parent.mkdir(parents=True)
    building.write_bytes(b"half")
    os.utime(building, (0, 0))
    report = verify()
    assert texts(report) == []
    assert report.checked["files"] == 5  # a picture, three documents, the young one


def test_a_cursor_ahead_of_the_log_is_named(kept: tuple[Yard, UUID]) -> None:
    """It would pass over the next releases, and no certificate would be made."""
    beyond = log.size() + 1
    with unguarded():
        Cursor.objects.update(read=beyond)
        assert texts(verify()) == [
            f"“documents” says it has read {beyond} entries, more than the log has."
        ]


def test_a_document_of_another_size_than_its_file_is_named(kept: tuple[Yard, UUID]) -> None:
    """Also of a document that no unit's log speaks of."""
    with unguarded():
        request = DocumentRequest.objects.filter(kind="registration").get()
        rows(DocumentRequest).filter(pk=request.pk).update(bytes=request.bytes + 1)
        found = texts(verify())
    size = f"was altered: its file does not have {request.bytes + 1} bytes."
    named = f"the warranty registration {request.number}"
    assert f"The size of {named} {size}" in found


def test_a_document_of_no_unit_is_held_against_the_log(
    kept: tuple[Yard, UUID], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Renumbered, or its row gone: the log knows it by its number and its bytes."""
    monkeypatch.setitem(KINDS, "labels", built_by("labels", plain))
    request = queue.request(kind="labels", cause="a")
    queue.run_due()
    assert verify().holds
    with unguarded():
        rows(DocumentRequest).filter(pk=request.pk).update(number="N-other")
        assert texts(verify()) == [
            "The set of labels N-other: “number” is N-other; the log says N-a.",
        ]
    with unguarded():
        rows(DocumentRequest).filter(pk=request.pk).delete()
        found = texts(verify())
    assert "The set of labels N-a was issued, but is missing." in found


def test_true_in_a_models_data_is_not_one(kept: tuple[Yard, UUID]) -> None:
    """Python takes them for equal; whoever reads the data does not."""
    model = MachineModel.objects.filter(sort="machine").get()
    facts = {**model.facts, "revision": True}
    assert model.facts["revision"] == 1 == facts["revision"]
    with unguarded():
        MachineModel.objects.filter(pk=model.pk).update(facts=facts)
        assert texts(verify()) == [f"Altered: model {model.pk}; columns: facts."]
