"""Verification names whatever was altered, removed, moved or added, and nothing else."""

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path
from typing import Any
from uuid import UUID, uuid4

import pytest
from django.core.files.storage import default_storage
from django.core.management import call_command
from django.utils import timezone

from prep.actions import sealing
from prep.actions.beside_the_log.pictures import PHOTO
from prep.actions.perform import perform
from prep.models import (
    Buyer,
    Checkpoint,
    Event,
    Flag,
    Leaf,
    LogKey,
    Photo,
    SignOff,
    Site,
    TreeNode,
    Unit,
    Unsealed,
)
from prep.record.log import signed_notes
from prep.verify.run import CHECKS, LISTED, verify
from prep.words import dates
from prep.words.reader import ENGLISH
from prep.words.verification.statements import statement_text
from reports.models import DocumentRequest
from tests.actions.kept import codes, kept, rows, texts, unguarded
from tests.cast import ERASING, Yard
from tests.verify.forging import rebuilt_tree

__all__ = ["kept"]


def test_an_untouched_record_holds(kept: tuple[Yard, UUID]) -> None:
    """The control: nothing is found where nothing was changed."""
    report = verify()
    assert texts(report) == []
    assert report.holds
    assert report.checked["events"] == Leaf.objects.count()
    assert report.checked["waiting-events"] == Unsealed.objects.count() == 1
    assert report.checked["units"] == 2
    assert report.checked["documents"] == 3
    assert report.checked["checkpoints"] == Checkpoint.objects.count() >= 3


def test_an_empty_service_holds(db: None) -> None:
    """Before the first event there is nothing to find."""
    assert texts(verify()) == []


def test_an_altered_reading_is_named_in_the_log_and_in_the_index(kept: tuple[Yard, UUID]) -> None:
    """450 becomes 480 in the event: its hash and its rows tell on it."""
    event = Event.objects.filter(kind="reading.taken").earliest("pk")
    with unguarded():
        body = event.body.replace("450 ft lb", "480 ft lb")
        rows(Event).filter(pk=event.pk).update(body=body)
        report = verify()
    found = texts(report)
    position = Leaf.objects.get(event=event).position
    recorded = dates.short_moment(event.recorded, ENGLISH)
    assert found == [
        f"The event at position {position} (version {event.version} of unit Larkfield TC00001, by "
        f"Ada Invented, recorded {recorded}) does not match the hash it was sealed with. The event "
        "was altered, swapped or moved, or its sealed hash was changed."
    ]
    [unjudged] = [one for one in report.unproven if one.code == "unit-unjudged"]
    assert statement_text(unjudged.code, unjudged.values, ENGLISH).startswith(
        "Whether the rows of unit Larkfield TC00001 are right: its events were altered"
    )
    assert "units" not in {one.code for one in report.proved}


def test_only_what_was_altered_is_accused(kept: tuple[Yard, UUID]) -> None:
    """Any one event altered, in its body or who gave it: no row, document or file of it is."""
    for event in Event.objects.filter(sealed__isnull=False).order_by("pk"):
        with unguarded():
            rows(Event).filter(pk=event.pk).update(
                body=event.body.replace("e", "a", 3), actor_name="Nobody Invented"
            )
            found = set(codes(verify()))
        assert found <= {"event-altered", "wording-altered", "wording-missing"}, event.kind
        assert "event-altered" in found


def test_rows_changed_beside_a_rewritten_log_are_not_said_to_be_wrong(
    kept: tuple[Yard, UUID],
) -> None:
    """Event and tree fit each other and no signature fits them: which was altered is not known."""
    event = Event.objects.filter(kind="reading.taken").earliest("pk")
    with unguarded():
        body = event.body.replace("450 ft lb", "480 ft lb")
        rows(Event).filter(pk=event.pk).update(body=body)
        rebuilt_tree({event.pk})
        report = verify()
    assert set(codes(report)) == {"checkpoint-log-differs"}
    assert "unit-unjudged" in {one.code for one in report.unproven}


def test_an_event_altered_with_its_hash_and_its_index_is_still_named(
    kept: tuple[Yard, UUID],
) -> None:
    """A forger who fixes hash, leaf and the whole tree fails at the signature."""
    event = Event.objects.filter(kind="unit.placed", sealed__isnull=True).get()
    sealed = Event.objects.filter(kind="site.opened").get()
    with unguarded():
        rows(Event).filter(pk=sealed.pk).update(actor_name="Nobody Invented")
        rebuilt_tree({sealed.pk})
        found = texts(verify())
    assert event.version > 1
    assert found == [
        f"Checkpoint {checkpoint.size}: the log under it is not the one signed."
        for checkpoint in Checkpoint.objects.order_by("size")
    ]


def test_a_log_cut_short_and_sealed_again_is_named(kept: tuple[Yard, UUID]) -> None:
    """The checkpoints that were signed over more remember."""
    size = Leaf.objects.count()
    with unguarded():
        rows(Leaf).filter(position=size - 1).delete()
        found = texts(verify())
    assert f"Checkpoint {size}: the log now ends after entry {size - 1}." in found


def test_a_removed_event_is_named_by_its_place_and_its_stream(kept: tuple[Yard, UUID]) -> None:
    """A hole in the log, and a hole in the unit's history."""
    event = Event.objects.filter(kind="caution.acknowledged").earliest("pk")
    with unguarded():
        rows(Event).filter(pk=event.pk)._raw_delete("default")
        found = texts(verify())
    assert any(text.startswith("The event at position") and "missing" in text for text in found)
    assert (
        f"The event before version {event.version + 1} of unit Larkfield TC00001 is missing."
        in found
    )


def test_two_events_exchanged_are_both_named(kept: tuple[Yard, UUID]) -> None:
    """Each gives another hash than its place was sealed with."""
    first, second = Leaf.objects.order_by("position")[3:5]
    with unguarded():
        rows(Leaf).filter(pk=first.pk).update(event_id=10**6)
        rows(Leaf).filter(pk=second.pk).update(event_id=first.event_id)
        rows(Leaf).filter(pk=first.pk).update(event_id=second.event_id)
        found = texts(verify())
    altered = [text for text in found if "does not match the hash" in text]
    assert len(altered) == 2
    assert "at position 3" in altered[0]
    assert "at position 4" in altered[1]


def test_an_added_event_is_named(kept: tuple[Yard, UUID]) -> None:
    """It waits for no seal and has none; the unit's rows do not know it either."""
    with unguarded():
        copy = Event.objects.filter(kind="unit.placed").latest("pk")
        copy.pk, copy.version, copy.command = None, copy.version + 1, uuid4()
        rows(Event).bulk_create([copy])
        report = verify()
    assert codes(report) == ["waiting-altered", "event-unplaced"]
    [_, unplaced] = texts(report)
    assert unplaced.endswith("is neither sealed nor waiting to be sealed.")
    assert "unit-unjudged" in {one.code for one in report.unproven}


def test_a_position_left_out_is_named(kept: tuple[Yard, UUID]) -> None:
    """One place of the log stands empty."""
    with unguarded():
        rows(Leaf).filter(position=5).delete()
        found = texts(verify())
    assert "Position 5 of the log is empty." in found


def test_a_false_signature_is_named(kept: tuple[Yard, UUID]) -> None:
    """A note whose text was changed after signing."""
    checkpoint = Checkpoint.objects.earliest("size")
    with unguarded():
        note = checkpoint.note.replace(f"\n{checkpoint.size}\n", f"\n{checkpoint.size + 1}\n")
        rows(Checkpoint).filter(pk=checkpoint.pk).update(note=note)
        found = texts(verify())
    assert found == [
        f"Checkpoint {checkpoint.size}: its signed text is not valid. (The signature of "
        "yardproof.example/log is false: the text was changed.)"
    ]


def test_a_key_that_never_signed_is_named(kept: tuple[Yard, UUID]) -> None:
    """A key slipped in among the published ones."""
    with unguarded():
        added = sealing.new_key()
        rows(LogKey).filter(pk=added.pk).update(created=timezone.now() - timedelta(days=9))
        report = verify()
    key = signed_notes.parse_verifier_key(added.verifier).id.hex()
    assert codes(report) == ["key-added", "key-unused"]
    assert texts(report)[1] == f"Key {key} never signed a checkpoint. It was added."


def test_a_last_checkpoint_removed_is_named(kept: tuple[Yard, UUID]) -> None:
    """Entries that were under a signature and are not any more."""
    with unguarded():
        last, before = Checkpoint.objects.order_by("-size")[:2]
        covered = before.size
        rows(Checkpoint).filter(pk=last.pk).delete()
        report = verify()
    assert codes(report) == ["entries-uncovered"]
    assert texts(report)[0].startswith(f"Entries from position {covered} on are not under a ")


def test_index_rows_altered_added_and_removed_are_named(kept: tuple[Yard, UUID]) -> None:
    """The log says what the rows should be."""
    _, unit = kept
    with unguarded():
        Unit.objects.filter(pk=unit).update(ready_for_buyer=False)
        gone = SignOff.objects.filter(unit=unit).earliest("version")
        gone.delete()
        Flag(
            id="f-1", unit_id=unit, origin="person", about={}, open=True, raised=timezone.now()
        ).save()
        found = texts(verify())
    assert "Unit Larkfield TC00001: “ready_for_buyer” is False; the log says True." in found
    assert f"Missing: signature {gone.step} of unit Larkfield TC00001." in found
    assert "Added, no event mentions it: flag f-1 of unit Larkfield TC00001." in found
    assert len(found) == 3


def test_a_unit_of_no_event_and_a_unit_without_its_row_are_named(
    kept: tuple[Yard, UUID],
) -> None:
    """Moved to another id: one is missing, one was added."""
    _, unit = kept
    added = uuid4()
    with unguarded():
        Unit.objects.filter(pk=unit).update(id=added)
        found = texts(verify())
    assert f"The row of unit {unit} is missing; its events are there." in found
    assert "The row of unit Larkfield TC00001 was added; no event mentions it." in found


def test_a_picture_altered_and_one_gone_are_named(kept: tuple[Yard, UUID]) -> None:
    """By the file, whose bytes the log knows."""
    file = PHOTO.file(Photo.objects.get().digest)
    path = Path(default_storage.path(file))
    path.write_bytes(path.read_bytes() + b" retouched")
    assert texts(verify()) == [
        f"The photo {file} of unit Larkfield TC00002 was altered: it does not match its digest."
    ]
    path.unlink()
    [text] = texts(verify())
    assert text.startswith(f"The photo {file} of unit Larkfield TC00002 cannot be read. (")


def test_an_erased_buyer_is_no_finding(kept: tuple[Yard, UUID]) -> None:
    """The log keeps a reference nobody can resolve; that is what erasing is for."""
    yard, _ = kept
    perform(
        ERASING,
        actor=yard.otto,
        target=Buyer.objects.get().pk,
    )
    assert texts(verify()) == []


def test_an_altered_buyer_is_named(kept: tuple[Yard, UUID]) -> None:
    """The salted digest in the log does not fit another name."""
    buyer = Buyer.objects.get()
    with unguarded():
        Buyer.objects.update(name="Other Farm (invented)")
        assert texts(verify()) == [
            f"The details of buyer {str(buyer.pk)[:8]} (Larkfield TC00001) were altered."
        ]


def test_a_document_whose_request_vanished_is_named(kept: tuple[Yard, UUID]) -> None:
    """The log says it was issued; and that its release called for one."""
    first = DocumentRequest.objects.filter(kind="certificate").earliest("created")
    with unguarded():
        DocumentRequest.objects.update(replaces=None)
        rows(DocumentRequest).filter(pk=first.pk)._raw_delete("default")
        found = texts(verify())
    assert f"The delivery certificate {first.number} was issued, but is missing." in found
    assert (
        "The delivery certificate of unit Larkfield TC00001 was never requested, though its "
        "history calls for one."
    ) in found


def test_the_command_names_findings_and_exits_with_one(
    kept: tuple[Yard, UUID], capsys: pytest.CaptureFixture[str]
) -> None:
    """0 and a sentence where all holds, 1 and the findings where not."""
    call_command("verify")
    said = capsys.readouterr().out
    assert "Checked 2 units" in said
    assert said.endswith("Everything checked is as it was recorded.\n")
    with unguarded():
        Site.objects.update(name="Renamed yard")
        with pytest.raises(SystemExit) as ended:
            call_command("verify")
    said = capsys.readouterr().err
    assert ended.value.code == 1
    assert "site: Altered: yard north; columns: name." in said


def test_a_check_in_ruins_does_not_hide_the_others(
    kept: tuple[Yard, UUID], monkeypatch: pytest.MonkeyPatch
) -> None:
    """It says that it could not finish, and the next ones run."""

    def ruined(tell: Any) -> Iterator[Any]:
        yield from ()
        raise OSError("table gone (invented)")

    monkeypatch.setattr("prep.verify.run.CHECKS", [ruined, *CHECKS[1:]])
    report = verify()
    assert texts(report) == [
        "The check “ruined” could not be finished. (OSError('table gone (invented)'))"
    ]
    assert report.checked["units"] == 2


def test_many_findings_are_counted_and_not_all_kept(
    kept: tuple[Yard, UUID], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Memory stays flat in a log where everything was altered."""
    monkeypatch.setattr("prep.verify.run.LISTED", 5)
    with unguarded():
        rows(TreeNode).update(hash="00")
        report = verify()
    assert len(report.findings) == 5
    assert report.not_listed > 20
    assert LISTED == 1000
