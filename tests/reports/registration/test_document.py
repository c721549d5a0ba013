"""What the manufacturer receives when a unit's warranty is registered."""

import hashlib
import json
import random
import time
import zipfile
from collections.abc import Callable
from pathlib import Path

import bagit
import pytest
from jsonschema import Draft202012Validator
from pikepdf import pdfa
from pypdf import PdfReader

from prep.actions import sealing
from prep.record.log.canonical_json import encode
from prep.words.reader import LANGUAGES, Reader
from reports import queue
from reports.bundles import readme, verifier
from reports.bundles.column_notes import COLUMNS
from reports.models import DocumentRequest
from reports.queue import open_file
from reports.registration.document import build
from reports.registration.schema import SCHEMA, schema
from tests.cast import Yard
from tests.reports.registration_bundles import (
    MUTATIONS,
    _own_folders,
    bundle,
    data_of,
    published_key,
    verdict,
)
from tests.reports.sold_units import (
    ADDRESS,
    BUYER,
    RECIPIENT,
    made,
    sold,
    unpacked,
)

__all__ = ["_own_folders", "bundle"]  # fixtures


def test_the_handover_brings_one_bundle_that_verifies_in_every_respect(bundle: Path) -> None:
    """The standalone verifier with the published key: nothing fails, nothing is left unchecked."""
    assert verdict(bundle, published_key()).exit_code == 0
    assert sorted(data_of(bundle)) == [
        "certificate.pdf",
        "events.jsonl",
        "flags.csv",
        "photos/001-pitch-finish.jpg",
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
    assert SCHEMA.read_bytes() == schema()


def test_the_form_says_what_every_manufacturer_asks(bundle: Path, yard: Yard) -> None:
    """Serial, buyer, delivery date, use, tractor (common practice, no published source)."""
    form = json.loads(data_of(bundle)["registration.json"])
    assert form["unit"]["serial"] == "TC00001"
    assert (form["buyer"]["name"], form["buyer"]["address"]) == (BUYER, ADDRESS)
    assert form["recipient"]["name"] == RECIPIENT
    assert (form["delivery"]["use"], form["delivery"]["hour_meter"]) == ("own use", "0.4")
    assert form["tractor"]["name"] == "Hollowfold T-90"
    assert (form["version"], form["replaces"]) == (1, "")
    certificate = DocumentRequest.objects.get(kind="certificate")
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
        assert hashlib.sha256(encode(values)).hexdigest() == logged
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
    assert "The manufacturer's manual for the exact serial number" in text


def test_the_readme_tells_a_person_what_to_do(bundle: Path) -> None:
    """In a width every mail program shows."""
    text = (unpacked(bundle) / "README.txt").read_text(encoding="utf-8")
    assert "open verify.html in a browser" in text
    assert "python verifier.py THIS-BUNDLE.zip --key KEY" in text
    assert "verdict: in limit (conforming)" in text
    assert max(map(len, text.splitlines())) <= 78


@pytest.mark.parametrize("language", LANGUAGES)
def test_the_readme_keeps_its_width_in_every_language(language: str) -> None:
    """And its file names whole."""
    text = readme.registration("R0000000000000", "About it.", Reader(language=language))
    assert max(map(len, text.splitlines())) <= 78
    for name in (*readme.REGISTRATION_FILES, readme.COMMAND, *COLUMNS):
        assert name in text


def test_the_proof_of_issue_names_this_very_bundle(
    bundle: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """By the verifier: packed and unpacked; another document's proof is refused."""
    queue.catch_up()
    issued = {one.kind: one for one in DocumentRequest.objects.filter(state="done")}
    proofs = {kind: tmp_path / f"{kind}.tlog-proof" for kind in issued}
    for kind, request in issued.items():
        proofs[kind].write_text(queue.proof_of_issue(request), encoding="utf-8")

    def checked(what: Path, kind: str) -> tuple[int, str]:
        arguments = [what, "--key", published_key(), "--issue", proofs[kind]]
        return verifier.main([str(one) for one in arguments]), capsys.readouterr().out

    code, printed = checked(bundle, "registration")
    number = issued["registration"].number
    assert code == 0
    assert f"The log names this very file as registration {number}." in printed
    code, printed = checked(unpacked(bundle), "registration")
    assert (code, "A folder was given" in printed) == (2, True)
    code, printed = checked(bundle, "certificate")
    assert (code, "the proof of issue is of another document" in printed) == (1, True)


# The same again


def test_two_builds_are_the_same_bytes_on_other_days_and_in_other_time_zones(
    yard: Yard, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Rebuilt after the log has grown, the key has changed and the machine has moved."""
    unit = sold(yard)
    request = made(unit, "registration")
    request.refresh_from_db()
    with open_file(request) as opened:
        first = opened.read()
    yard.prepared()
    sealing.seal()
    sealing.new_key()
    monkeypatch.setenv("TZ", "Pacific/Kiritimati")
    time.tzset()
    monkeypatch.setattr(time, "time", lambda: 2_000_000_000.0)
    try:
        again = build(request, lambda done, total: None)
        assert again.path.read_bytes() == first
    finally:
        monkeypatch.undo()
        time.tzset()


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
