"""What the maker receives when a unit's warranty is registered, and what the office must add."""

import hashlib
import json
import random
import time
import zipfile
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any
from uuid import UUID

import bagit
import pytest
from django.core.files.storage import default_storage
from jsonschema import Draft202012Validator
from pikepdf import pdfa
from pypdf import PdfReader

from prep.actions import buyers, registrations, sealing, shop
from prep.actions.writing import Command
from prep.models import LogKey, Photo
from prep.queries.records import record_of
from prep.record import canonical
from prep.record.registering import registration as standing
from reports import queue, registration
from reports.builders import NotYetError
from reports.bundles import schema_registration, verifier
from reports.models import DocumentRequest, State
from tests.cast import DOCUMENTS, Yard
from tests.refusals import refused
from tests.reports.sold import (
    ADDRESS,
    BUYER,
    RECIPIENT,
    buyer_with_address,
    hand_over,
    made,
    own_folders,
    quick_certificates,
    ready_for,
    saved,
    sold,
    unpacked,
)

MUTATIONS = 600


@pytest.fixture(autouse=True)
def _own_folders(settings: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Keys and files of a test lie in its folder; certificates are short."""
    own_folders(settings, tmp_path)
    quick_certificates(monkeypatch)


def published_key() -> str:
    """The key a dealership would publish."""
    return str(LogKey.objects.get().verifier)


def verdict(path: Path, key: str) -> verifier.Findings:
    """What the travelling verifier finds."""
    findings = verifier.Findings()
    verifier.check_bundle(path, [key], findings)
    return findings


def data_of(path: Path) -> dict[str, bytes]:
    """Every file below data/ by its name."""
    with zipfile.ZipFile(path) as archive:
        return {
            name.partition("/data/")[2]: archive.read(name)
            for name in archive.namelist()
            if "/data/" in name
        }


@pytest.fixture
def bundle(yard: Yard, tmp_path: Path) -> Path:
    """The registration bundle of a sold unit, as the maker saves it."""
    return saved(made(sold(yard, hour_meter="0.4"), "registration"), tmp_path)


# What is in the bundle


def test_the_handover_brings_one_bundle_that_verifies_in_every_respect(bundle: Path) -> None:
    """The standalone verifier with the published key: nothing fails, nothing is left unchecked."""
    assert verdict(bundle, published_key()).exit_code == 0
    assert sorted(data_of(bundle)) == [
        "certificate.pdf",
        "events.jsonl",
        "flags.csv",
        "photos/001-pitch-finish.png",
        "proof/checkpoint.txt",
        "proof/inclusion.jsonl",
        "proof/keys.txt",
        "readings.csv",
        "registration.json",
        "registration.pdf",
        "registration.schema.json",
        "sign_offs.csv",
    ]


def test_the_library_of_congress_tool_accepts_the_bundle(bundle: Path) -> None:
    """`bagit` on the unpacked bag (RFC 8493), with the labels the standard reserves."""
    bag = bagit.Bag(str(unpacked(bundle)))
    bag.validate()
    assert bag.info["Source-Organization"] == "Invented Implements"
    assert bag.info["External-Description"] == "Warranty registration of Larkfield TC00001"
    assert bag.info["Bag-Software-Agent"].startswith("Yardproof")


def test_the_form_fits_the_schema_published_beside_it(bundle: Path) -> None:
    """JSON Schema 2020-12; a form without its buyer does not fit."""
    data = data_of(bundle)
    schema, form = (json.loads(data[f"registration{end}"]) for end in (".schema.json", ".json"))
    Draft202012Validator.check_schema(schema)
    check = Draft202012Validator(schema)
    check.validate(form)
    del form["buyer"]["address"]
    assert not check.is_valid(form)


def test_the_published_schema_is_the_one_the_forms_are_made_by() -> None:
    """The file in the repository says what the code does."""
    assert schema_registration.SCHEMA.read_bytes() == schema_registration.schema()


def test_the_form_says_what_every_maker_asks(bundle: Path, yard: Yard) -> None:
    """Serial, buyer, delivery date, use, tractor (common practice, no published source)."""
    form = json.loads(data_of(bundle)["registration.json"])
    assert form["unit"]["serial"] == "TC00001"
    assert (form["buyer"]["name"], form["buyer"]["address"]) == (BUYER, ADDRESS)
    assert form["recipient"]["name"] == RECIPIENT
    assert (form["delivery"]["use"], form["delivery"]["hour_meter"]) == ("own use", "0.4")
    assert form["tractor"]["name"] == "Hollowfold T-90"
    assert (form["version"], form["replaces"]) == (1, "")
    certificate = DocumentRequest.objects.get(form="certificate")
    assert form["preparation"]["certificate"] == certificate.number
    assert form["preparation"]["certificate_sha256"] == certificate.digest


def test_the_log_holds_a_digest_of_the_buyer_and_the_form_the_salt_to_check_it(
    bundle: Path,
) -> None:
    """As the schema describes it: SHA-256 over canonical JSON of salt and particulars."""
    data = data_of(bundle)
    form = json.loads(data["registration.json"])
    events = [json.loads(line) for line in data["events.jsonl"].splitlines()]
    assigned = next(e for e in events if e["kind"] == "unit.buyer_assigned")["body"]["buyer"]
    handed = next(e for e in events if e["kind"] == "unit.handed_over")["body"]
    for person, names, logged in (
        ("buyer", ("salt", "name", "address", "phone", "email"), assigned["digest"]),
        ("recipient", ("salt", "name"), handed["recipient_digest"]),
    ):
        values = [form[person][name] for name in names]
        assert hashlib.sha256(canonical.encode(values)).hexdigest() == logged
        assert form[person]["digest"] == logged


def test_personal_data_stands_in_the_form_and_nowhere_else(bundle: Path) -> None:
    """Not in the events, the tables, the README, bag-info or any file name."""
    with zipfile.ZipFile(bundle) as archive:
        holding = {
            name.rpartition("/")[2]
            for name in archive.namelist()
            for personal in (BUYER, RECIPIENT, "Invented Lane")
            if personal.encode() in archive.read(name) or personal in name
        }
    assert holding == {"registration.json"}


def test_the_form_on_paper_is_archival_and_reads_the_same(bundle: Path, tmp_path: Path) -> None:
    """PDF/A-3b (ISO 19005-3) by pikepdf's checker; the data file is attached to it."""
    data = data_of(bundle)
    path = tmp_path / "registration.pdf"
    path.write_bytes(data["registration.pdf"])
    assert pdfa.validate_written(path, "3b").verdict == "pass"
    form = PdfReader(path)
    assert form.attachments["registration.json"] == [data["registration.json"]]
    text = "\n".join(page.extract_text() for page in form.pages)
    for said in ("TC00001", BUYER, "1 Invented Lane", "Hollowfold T-90", "own use", RECIPIENT):
        assert said in text
    assert "The maker's manual for the exact serial number" in text


def test_the_readme_tells_a_person_what_to_do(bundle: Path) -> None:
    """In a width every mail program shows."""
    readme = (unpacked(bundle) / "README.txt").read_text(encoding="utf-8")
    assert "open verify.html in a browser" in readme
    assert "python verifier.py THIS-BUNDLE.zip --key KEY" in readme
    assert max(map(len, readme.splitlines())) <= 82


# The same again


def test_two_builds_are_the_same_bytes_on_other_days_and_in_other_time_zones(
    yard: Yard, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Rebuilt after the log has grown, the key has changed and the machine has moved."""
    unit = sold(yard)
    request = made(unit, "registration")
    request.refresh_from_db()
    with queue.open_file(request) as opened:
        first = opened.read()
    yard.prepared()
    sealing.seal()
    sealing.new_key()
    monkeypatch.setenv("TZ", "Pacific/Kiritimati")
    time.tzset()
    monkeypatch.setattr(time, "time", lambda: 2_000_000_000.0)
    try:
        again = registration.build(request, lambda done, total: None)
        assert again.path.read_bytes() == first
    finally:
        monkeypatch.undo()
        time.tzset()


# What is missing


def test_a_buyer_without_an_address_is_named_before_anything_is_built(yard: Yard) -> None:
    """The request fails with the name of what lacks, and nothing lies in the storage."""
    unit = ready_for(yard, buyer_with_address(yard, address=""))
    yard.release(unit)
    hand_over(yard, unit)
    queue.catch_up()
    request = made(unit, "registration")
    assert request.state == State.FAILED
    assert "The registration lacks: buyer address." in request.failure
    assert [item.name for item in registration.missing(unit)] == ["buyer address"]
    assert default_storage.listdir("documents")[0] == [
        str(DocumentRequest.objects.get(form="certificate").pk)
    ]


def test_what_lacks_can_be_asked_at_any_time(yard: Yard) -> None:
    """Of a unit that has just come in, each with what to do about it."""
    lacking = {item.name: item.do for item in registration.missing(yard.receive())}
    assert list(lacking) == [
        "buyer name",
        "buyer address",
        "tractor",
        "release",
        "handover",
        "delivery date",
    ]
    assert lacking["handover"] == "Hand the unit over, and record it."


def test_a_use_the_maker_would_not_understand_is_asked_for(yard: Yard) -> None:
    """Own, rental or commercial."""
    unit = sold(yard, first_use="for the neighbours")
    assert [item.name for item in registration.missing(unit)] == ["use"]


def require(yard: Yard, *names: str) -> None:
    """The maker asks for more with every registration of the model."""
    text = (DOCUMENTS / "model.yaml").read_text().replace("revision: 1", "revision: 2")
    text += f"  registration_requires: [{', '.join(names)}]\n"
    shop.publish_model(actor=yard.otto, command=Command(), text=text)


def test_the_makers_own_list_is_asked_for_by_name(yard: Yard, tmp_path: Path) -> None:
    """From the model's data; a field nobody knows is named too."""
    require(yard, "hour_meter", "buyer phone", "tractor.mass", "model.no_such_field")
    unit = ready_for(yard, buyer_with_address(yard, phone="555 0100"))
    yard.release(unit)
    hand_over(yard, unit)
    assert [item.name for item in registration.missing(unit)] == [
        "hour_meter",
        "model.no_such_field",
    ]


def test_the_answers_to_the_makers_list_stand_in_the_form(yard: Yard, tmp_path: Path) -> None:
    """Under the names the maker gave them."""
    require(yard, "hour_meter", "tractor.mass")
    form = json.loads(
        data_of(saved(made(sold(yard, hour_meter="0.4"), "registration"), tmp_path))[
            "registration.json"
        ]
    )
    assert form["required_by_model"] == {"hour_meter": "0.4", "tractor.mass": "4200 kg"}


def test_an_erased_buyer_is_not_registered_any_more(yard: Yard) -> None:
    """The data is gone, and the registration says so by name."""
    unit = sold(yard)
    buyer = record_of(unit).buyer
    assert buyer is not None
    buyers.erase(actor=yard.otto, buyer=UUID(buyer.id))
    request = made(unit, "registration")
    assert request.state == State.FAILED
    assert "buyer name, buyer address" in request.failure


def test_the_registration_waits_for_the_certificate(
    yard: Yard, monkeypatch: pytest.MonkeyPatch
) -> None:
    """While it is still being made, the registration is tried again; given up, it is named."""
    unit = sold(yard)
    certificate = DocumentRequest.objects.get(form="certificate")
    queue.cancel(certificate)
    request = made(unit, "registration")
    assert request.state == State.FAILED
    assert "The registration lacks: delivery certificate." in request.failure
    queue.retry(certificate)
    with pytest.raises(NotYetError):
        registration.build(request, lambda done, total: None)
    queue.retry(request)
    assert made(unit, "certificate").state == State.DONE
    assert made(unit, "registration").state == State.DONE


def test_a_changed_photograph_stops_the_bundle(yard: Yard) -> None:
    """What would not hold with the maker is not sent."""
    unit = sold(yard)
    file = Path(default_storage.path(str(Photo.objects.get().file)))
    file.write_bytes(file.read_bytes()[:-1] + b"?")
    request = made(unit, "registration")
    assert request.state == State.FAILED
    assert "The photograph 001-pitch-finish.png was changed in the storage" in request.failure


# Sent, refused, sent again


def test_a_resend_is_a_new_version_and_the_older_one_stays(yard: Yard, tmp_path: Path) -> None:
    """Sent, refused by the maker with a reason, made and sent again, accepted."""
    unit = sold(yard)
    first = made(unit, "registration")
    registrations.send(actor=yard.sol, command=Command(), unit=unit, document=str(first.pk))
    registrations.answer(
        actor=yard.sol, command=Command(), unit=unit, accepted=False, reason="hour meter missing"
    )
    asked = registration.resend(actor=yard.sol, unit=unit)
    assert registration.resend(actor=yard.sol, unit=unit) == asked
    second = made(unit, "registration")
    assert (second.pk, second.state) == (asked.pk, State.DONE)
    assert second.replaces == first
    form = json.loads(data_of(saved(second, tmp_path))["registration.json"])
    assert (form["version"], form["replaces"]) == (2, first.number)
    kinds = [
        json.loads(line)["kind"]
        for line in data_of(saved(second, tmp_path))["events.jsonl"].splitlines()
    ]
    assert "registration.answered" in kinds
    assert verdict(saved(second, tmp_path), published_key()).exit_code == 0
    with queue.open_file(first) as opened:
        assert opened.read(2) == b"PK"
    registrations.send(actor=yard.sol, command=Command(), unit=unit, document=str(second.pk))
    outcome = registrations.answer(actor=yard.sol, command=Command(), unit=unit, accepted=True)
    stands = standing(outcome.record, date(2026, 11, 25))
    assert (stands.state, stands.version) == ("accepted", 2)
    refused("already-accepted", registration.resend, actor=yard.sol, unit=unit)


def test_only_the_office_and_the_desk_may_have_it_made_again(yard: Yard) -> None:
    """A technician is told who may; a stranger not even that the unit exists."""
    unit = sold(yard)
    refused("not-allowed", registration.resend, actor=yard.ada, unit=unit)
    refused("no-such-unit", registration.resend, actor=yard.outsider, unit=unit)
    refused("not-handed-over", registration.resend, actor=yard.sol, unit=yard.prepared())
    assert DocumentRequest.objects.filter(form="registration").count() == 1


# Nothing can be changed unseen


Undo = Callable[[], object]


def changed(folder: Path, chance: random.Random) -> Undo:
    """One random change to one file of a bag; gives back what undoes it."""
    path, other = chance.sample(sorted(p for p in folder.rglob("*") if p.is_file()), 2)
    content = path.read_bytes()
    place = chance.randrange(len(content))
    kind = chance.randrange(9)
    if kind == 0:
        path.unlink()
    elif kind == 1:
        strange = path.with_name(f"extra-{chance.randrange(99)}.txt")
        strange.write_bytes(b"slipped in")
        return strange.unlink
    elif kind == 2:
        renamed = path.rename(path.with_name(f"{path.name}~"))
        return lambda: renamed.rename(path)
    elif kind == 3:
        path.write_bytes(other.read_bytes())
    elif kind == 4:
        path.write_bytes(content[:place] + content[place + chance.randrange(1, 50) :])
    elif kind == 5:
        path.write_bytes(content[:place] + chance.randbytes(3) + content[place:])
    else:
        turned = content[place] ^ chance.randrange(1, 256)
        path.write_bytes(content[:place] + bytes([turned]) + content[place + 1 :])
    return lambda: path.write_bytes(content)


def test_no_single_change_to_any_file_of_the_bag_goes_unseen(bundle: Path) -> None:
    """600 random changes over every file; the untouched bag passes before and after."""
    folder, key, chance = unpacked(bundle), published_key(), random.Random(20_26)
    assert verdict(folder, key).exit_code == 0
    unseen = []
    for number in range(MUTATIONS):
        undo = changed(folder, chance)
        if verdict(folder, key).exit_code == 0:
            unseen.append(number)
        undo()
    assert unseen == []
    assert verdict(folder, key).exit_code == 0
