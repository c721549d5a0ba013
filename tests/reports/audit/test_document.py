"""What an auditor receives: units of any yard and period, as of any moment, with proofs."""

import csv
import io
import zipfile
from pathlib import Path
from typing import Any
from uuid import UUID, uuid4

import bagit
import pytest
from django.core.files.storage import default_storage
from django.utils import timezone

from prep.actions import sites
from prep.actions.people import choose_language
from prep.actions.perform import perform
from prep.models import Event, LogKey, Person
from prep.record.roles import Role
from prep.record.site.commands import GiveRole
from prep.record.site.yard_commands import OpenSite
from prep.record.unit.commands.receiving import ReceiveUnit
from prep.record.unit.commands.releases import HoldUnit, ResumeUnit
from prep.record.unit.state import PREPARED
from prep.words.reader import ENGLISH, Reader, say
from prep.words.unit.signatures import MEANINGS
from reports import queue
from reports.bundles import contents, contents_events, verifier
from reports.models import DocumentRequest, State
from tests.actions.kept import rows, unguarded
from tests.cast import Yard
from tests.refusals import refused
from tests.reports.sold_units import made, quick_certificates, saved, sold, unpacked
from tests.stored_files import own_folders


@pytest.fixture(autouse=True)
def _own_folders(settings: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Keys and files of a test lie in its folder; certificates are short."""
    own_folders(settings, tmp_path)
    quick_certificates(monkeypatch)


def asked(actor: Person, **parameters: Any) -> DocumentRequest:
    """An audit somebody asks for."""
    return queue.ask(actor=actor, kind="audit", command=uuid4(), parameters=parameters)


def audited(actor: Person, folder: Path, **parameters: Any) -> Path:
    """The bundle of an audit, as the auditor saves it."""
    request = asked(actor, **parameters)
    queue.run_due()
    request.refresh_from_db()
    assert (request.state, request.failure) == (State.DONE, "")
    return saved(request, folder)


def table(bundle: Path, name: str) -> list[dict[str, str]]:
    """A table of a bundle, row by row."""
    with zipfile.ZipFile(bundle) as archive:
        path = next(found for found in archive.namelist() if found.endswith(f"/data/{name}"))
        return list(csv.DictReader(io.StringIO(archive.read(path).decode(), newline="")))


def text(bundle: Path, name: str) -> str:
    """A text file of a bundle."""
    with zipfile.ZipFile(bundle) as archive:
        path = next(found for found in archive.namelist() if found.endswith(name))
        return archive.read(path).decode()


def verdict(bundle: Path) -> verifier.Findings:
    """What the travelling verifier finds, given the published key."""
    findings = verifier.Findings()
    verifier.check_bundle(bundle, [str(LogKey.objects.get().verifier)], findings)
    return findings


def test_an_audit_of_a_yard_holds_every_unit_and_verifies_in_every_respect(
    yard: Yard, tmp_path: Path
) -> None:
    """One unit sold, one in work: tables, entries, certificate, photograph, and all proven."""
    one, other = sold(yard), yard.started()
    queue.run_due()
    bundle = audited(yard.rhea, tmp_path)
    found = verdict(bundle)
    assert found.exit_code == 0
    assert (
        "holds",
        "Every photo and certificate is the one that the log names (2).",
    ) in found.lines
    rows = table(bundle, "units.csv")
    assert {row["unit"] for row in rows} == {str(one), str(other)}
    assert [row["state"] for row in rows] == ["handed-over", "in-preparation"]
    assert {row["unit"] for row in table(bundle, "readings.csv")} == {str(one)}
    assert [row["kind"] for row in table(bundle, "findings.csv")] == ["entry-replaced"]
    bagit.Bag(str(unpacked(bundle))).validate()


def test_an_audit_is_written_in_the_language_of_whoever_asks_and_stays_in_it(
    yard: Yard, tmp_path: Path
) -> None:
    """Page, README and sentences are Rhea's French; column names and tokens are no language's."""
    yard.prepared()
    choose_language(actor=yard.rhea, language="fr")
    request = asked(yard.rhea)
    choose_language(actor=yard.rhea, language="en")
    bundle = saved(made(None, "audit"), tmp_path)
    french = Reader(language="fr")
    assert request.parameters["language"] == "fr"
    page, readme = text(bundle, "data/index.html"), text(bundle, "README.txt")
    assert '<html lang="fr">' in page
    assert say(french, "Manufacturer") in page
    assert say(french, MEANINGS[PREPARED]) != say(ENGLISH, MEANINGS[PREPARED])
    assert say(french, "Audit bundle").upper() in readme
    signed = table(bundle, "sign_offs.csv")[0]
    assert signed["meaning"] == say(french, MEANINGS[PREPARED])
    assert (signed["meaning token"], signed["stands"]) == (PREPARED, "yes")
    refused("no-such-language", asked, yard.rhea, language="de")


def test_an_audit_shows_the_past_as_it_was_and_nothing_later(yard: Yard, tmp_path: Path) -> None:
    """As of the moment before the handover, the unit is released and the reading is not there."""
    unit = yard.ready()
    yard.release(unit)
    moment = timezone.now()
    yard.hand_over(unit)
    later = yard.started()
    bundle = audited(yard.rhea, tmp_path, known_at=moment.isoformat())
    assert verdict(bundle).exit_code == 0
    [row] = table(bundle, "units.csv")
    assert (row["unit"], row["state"], row["handed over"]) == (
        str(unit),
        "released-for-buyer",
        "",
    )
    assert str(later) not in text(bundle, "data/events.jsonl")
    assert "unit.handed_over" not in text(bundle, "data/events.jsonl")


def test_a_period_takes_the_units_of_which_something_was_recorded_in_it(
    yard: Yard, tmp_path: Path
) -> None:
    """The unit of the second half alone, with its whole record; findings of the period alone."""
    early, both = yard.receive(), yard.started()
    yard.take(both, "pitch", "front", "4 in")
    half = timezone.now()
    yard.take(both, "pitch", "finish", "good")
    bundle = audited(yard.rhea, tmp_path, since=half.isoformat())
    assert [row["unit"] for row in table(bundle, "units.csv")] == [str(both)]
    assert [row["line"] for row in table(bundle, "readings.csv")] == ["front", "finish"]
    before = audited(yard.rhea, tmp_path, until=half.isoformat())
    assert {row["unit"] for row in table(before, "units.csv")} == {str(early), str(both)}


def test_units_are_chosen_by_id(yard: Yard, tmp_path: Path) -> None:
    """One of two; an unknown one is named and nothing is asked for."""
    one, _ = yard.receive(), yard.receive()
    bundle = audited(yard.rhea, tmp_path, units=[str(one)])
    assert [row["unit"] for row in table(bundle, "units.csv")] == [str(one)]
    strange = uuid4()
    no = refused("no-such-units-then", asked, yard.rhea, units=[str(one), str(strange)])
    assert no.details["units"] == [str(strange)]
    assert DocumentRequest.objects.count() == 1


def test_an_audit_made_again_years_later_has_the_same_bytes(yard: Yard, tmp_path: Path) -> None:
    """Work goes on, a person is renamed, the checkpoint grows: the audit stays what it was."""
    sold(yard)
    queue.run_due()
    request = asked(yard.rhea)
    queue.run_due()
    first = saved(DocumentRequest.objects.get(pk=request.pk), tmp_path).read_bytes()
    yard.prepared()
    Person.objects.filter(pk=yard.rhea.pk).update(printed_name="Rhea Married (invented)")
    queue.catch_up()
    DocumentRequest.objects.filter(pk=request.pk).update(state=State.WAITING, due=timezone.now())
    queue.run_due()
    again = saved(DocumentRequest.objects.get(pk=request.pk), tmp_path).read_bytes()
    assert again == first


def second_yard(yard: Yard) -> UUID:
    """Another yard of the same dealership, with one unit that Ada received there."""
    sites.open_site(
        OpenSite(
            site="south",
            name="South yard",
            time_zone="America/Chicago",
            dealer="Invented Implements",
        ),
        founder=yard.otto,
    )
    perform(
        GiveRole(person=yard.ada.username, role=Role.TECHNICIAN), actor=yard.otto, target="south"
    )
    return perform(
        ReceiveUnit(site="south", maker="Larkfield", serial="TC90001", model="TC-12"),
        actor=yard.ada,
    ).unit


def test_only_those_may_audit_who_answer_for_it_and_only_their_yards(
    yard: Yard, tmp_path: Path
) -> None:
    """A technician, sales and a stranger are refused; Rhea sees no other yard's unit."""
    foreign, own = second_yard(yard), yard.receive()
    for person in (yard.ada, yard.sol, yard.outsider):
        refused("not-allowed", asked, person)
    refused("no-such-site", asked, yard.rhea, site="south")
    refused("no-such-units-then", asked, yard.rhea, units=[str(foreign)])
    assert not DocumentRequest.objects.exists()
    bundle = audited(yard.rhea, tmp_path)
    assert [row["unit"] for row in table(bundle, "units.csv")] == [str(own)]
    assert str(foreign) not in text(bundle, "data/events.jsonl")


def test_someone_who_answers_for_two_yards_gets_both_or_the_one_named(
    yard: Yard, tmp_path: Path
) -> None:
    """Otto administers north and south."""
    yard.receive()
    there = second_yard(yard)
    assert len(table(audited(yard.otto, tmp_path), "units.csv")) == 2
    bundle = audited(yard.otto, tmp_path, site="south")
    assert [row["unit"] for row in table(bundle, "units.csv")] == [str(there)]


@pytest.mark.parametrize(
    ("parameters", "code", "field"),
    [
        ({"known_at": "2999-01-01T00:00:00Z"}, "moment-in-future", "known_at"),
        ({"known_at": "2026-01-01T00:00:00"}, "input-unfit", "known_at"),
        (
            {"since": "2026-02-01T00:00:00Z", "until": "2026-01-01T00:00:00Z"},
            "period-unfit",
            "since",
        ),
        ({"since": "yesterday"}, "input-unfit", "since"),
        ({"units": ["TC00001"]}, "input-unfit", "units.0"),
        ({"until": "2001-01-01T00:00:00Z"}, "nothing-to-audit", ""),
        ({"period": "2026"}, "input-unfit", "period"),
    ],
)
def test_an_audit_that_cannot_be_is_refused_before_anything_is_made(
    yard: Yard, parameters: dict[str, Any], code: str, field: str
) -> None:
    """A moment to come, one without a zone, a period backwards, a word, a serial, nothing."""
    yard.receive()
    assert refused(code, asked, yard.rhea, **parameters).field == field
    assert not DocumentRequest.objects.exists()


@pytest.mark.parametrize(
    ("column", "was", "altered"),
    [("body", "450", "451"), ("facts", '{"instrument W-1":1}', '{"instrument W-1":2}')],
)
def test_an_altered_entry_is_told_and_the_verifier_finds_it_too(
    yard: Yard, tmp_path: Path, column: str, was: str, altered: str
) -> None:
    """Somebody made 451 of 450 in the database, or had it judged by another state of the wrench:
    the audit is made, and says so."""
    unit = yard.prepared()
    queue.catch_up()
    row = Event.objects.filter(stream_id=str(unit), kind="reading.taken").earliest("version")
    held = getattr(row, column)
    assert was in held
    with unguarded():
        rows(Event).filter(pk=row.pk).update(**{column: held.replace(was, altered)})
        bundle = audited(yard.rhea, tmp_path)
    kinds = [(found["kind"], found["finding"]) for found in table(bundle, "findings.csv")]
    assert [kind for kind, _ in kinds] == ["entry-damaged"]
    assert f"version {row.version} of this unit, is not what was sealed there." in kinds[0][1]
    assert verdict(bundle).exit_code == 1
    assert "Log entry altered: 1" in text(bundle, "data/index.html")


def test_a_unit_whose_entries_are_in_ruins_is_told_and_the_rest_is_audited(
    yard: Yard, tmp_path: Path
) -> None:
    """The first entry of a unit makes no sense any more."""
    broken, whole = yard.receive(), yard.receive()
    queue.catch_up()
    with unguarded():
        first = rows(Event).filter(stream_id=str(broken), version=1)
        first.update(body='{"kind":"nonsense"}')
        bundle = audited(yard.rhea, tmp_path)
    listed = {row["unit"]: row["serial"] for row in table(bundle, "units.csv")}
    assert listed == {str(broken): "(unreadable)", str(whole): "TC00002"}
    told = [found["finding"] for found in table(bundle, "findings.csv")]
    assert any("cannot be replayed" in one for one in told)


def test_a_certificate_that_is_gone_and_one_that_was_changed_are_told(
    yard: Yard, tmp_path: Path
) -> None:
    """The missing one is left out; the changed one lies there, and the verifier refuses it."""
    gone, changed = sold(yard), sold(yard)
    default_storage.delete(str(made(gone, "certificate").file))
    Path(default_storage.path(str(made(changed, "certificate").file))).write_bytes(b"%PDF forged")
    bundle = audited(yard.rhea, tmp_path)
    told = [
        found["finding"]
        for found in table(bundle, "findings.csv")
        if found["kind"] == "file-damaged"
    ]
    assert [one.partition(".pdf ")[2] for one in told] == [
        "is missing from storage.",
        "was changed in storage. Its digest is not the one in the log.",
    ]
    assert verdict(bundle).exit_code == 1


def test_without_files_photographs_and_certificates_stay_out(yard: Yard, tmp_path: Path) -> None:
    """Tables, entries and proofs alone."""
    sold(yard)
    queue.run_due()
    bundle = audited(yard.rhea, tmp_path, files=False)
    with zipfile.ZipFile(bundle) as archive:
        assert not any(
            "/photos/" in name or "/certificates/" in name for name in archive.namelist()
        )
    assert verdict(bundle).exit_code == 0


def test_many_units_are_found_as_few_are(
    yard: Yard, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """By looking through the log instead of asking by name: the same entries, in the same order."""
    one, _, other = yard.prepared(), yard.started(), yard.receive()
    chosen = {"units": [str(one), str(other)], "known_at": timezone.now().isoformat()}
    few = audited(yard.rhea, tmp_path, **chosen)
    monkeypatch.setattr(contents_events, "FEW", 1)
    monkeypatch.setattr(contents_events, "SCAN", 7)
    many = audited(yard.rhea, tmp_path, **chosen)
    assert verdict(many).exit_code == 0
    assert text(many, "data/events.jsonl") == text(few, "data/events.jsonl")


def test_a_large_audit_goes_on_in_further_files(
    yard: Yard, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Three lines a file: every part of a table begins with its head, and all is verified."""
    monkeypatch.setattr(contents, "MOST_LINES", 3)
    yard.prepared()
    bundle = audited(yard.rhea, tmp_path)
    assert verdict(bundle).exit_code == 0
    parts = [table(bundle, name) for name in ("readings.csv", "readings-2.csv")]
    assert [len(part) for part in parts] == [3, 2]
    assert parts[0][0].keys() == parts[1][0].keys()
    with zipfile.ZipFile(bundle) as archive:
        events = [name for name in archive.namelist() if "/events" in name]
    assert len(events) > 3


def test_hostile_words_stay_words_in_tables_and_page(yard: Yard, tmp_path: Path) -> None:
    """A serial of markup and a reason that is a formula."""
    unit = yard.receive("<script>alert(1)</script>")
    perform(HoldUnit(reason="=HYPERLINK(1)"), actor=yard.mira, target=unit)
    perform(ResumeUnit(note=""), actor=yard.mira, target=unit)
    bundle = audited(yard.rhea, tmp_path)
    page = text(bundle, "data/index.html")
    assert "<script" not in page
    assert "&lt;script&gt;alert(1)&lt;/script&gt;" in page
    assert table(bundle, "units.csv")[0]["serial"] == "<script>alert(1)</script>"
