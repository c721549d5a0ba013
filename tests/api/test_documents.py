"""Documents over the API: asked for, followed, fetched, and by whom."""

import hashlib
import json
from pathlib import Path
from typing import Any
from uuid import uuid4

import pytest
from django.core.files.storage import default_storage

from prep.actions import sealing
from prep.actions.perform import perform
from prep.queries import log
from prep.record.log import merkle_tree, signed_notes
from prep.record.unit.commands.releases import ReopenUnit
from reports import queue
from reports.models import DocumentRequest, Remake, State
from reports.registry import KINDS
from tests.api.client import Api
from tests.cast import NOT_THE_WORK, Yard
from tests.document_kinds import built_by
from tests.reports.sold_units import short_certificate, sold
from tests.stored_files import own_folders


@pytest.fixture(autouse=True)
def _set_up(settings: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Files lie in a folder of the test; a kind “list” belongs to no unit."""
    own_folders(settings, tmp_path)
    monkeypatch.setitem(KINDS, "certificate", built_by("certificate", short_certificate))
    monkeypatch.setitem(KINDS, "list", built_by("list", short_certificate))


def test_a_certificate_asked_for_again_is_the_one_the_release_gave(yard: Yard, api: Api) -> None:
    """Asked by hand after the log asked, and asked twice: one document."""
    unit = yard.ready()
    yard.release(unit)
    queue.catch_up()
    address = f"units/{unit}/documents"
    first = api.post(address, {"kind": "certificate"})
    second = api.post(address, {"kind": "certificate"})
    assert (first.status, first.body["state"]) == (201, "waiting")
    assert second.body["id"] == first.body["id"]
    queue.run_due()
    made = api.get(f"{address}/{first.body['id']}")
    assert made.body["state"] == "done"
    file = api.get(f"{address}/{first.body['id']}/file")
    assert file.content.startswith(b"%PDF")
    assert file.etag == f'"{made.body["digest"]}"'


def test_a_documents_proof_of_issue_names_its_file_and_lies_beside_it(yard: Yard, api: Api) -> None:
    """409 until the document is made and the log signed as far; for whoever may have the file."""
    unit = yard.ready()
    yard.release(unit)
    queue.catch_up()
    asked = DocumentRequest.objects.get(kind="certificate")
    address = f"units/{unit}/documents/{asked.pk}/proof"
    assert (api.get(address).status, api.get(address).code) == (409, "not-made-yet")
    queue.run_due()
    assert (api.get(address).status, api.get(address).code) == (409, "not-proven-yet")
    queue.catch_up()
    answer = api.get(address)
    proof = signed_notes.parse_proof(answer.content.decode())
    entry = json.loads(proof.extra)
    file = api.get(address.replace("/proof", "/file")).content
    assert entry["body"]["digest"] == hashlib.sha256(file).hexdigest()
    keys = log.public_keys()
    checkpoint = signed_notes.parse_checkpoint(signed_notes.verify_note(proof.note, keys))
    leaf = merkle_tree.leaf_hash(proof.extra)
    merkle_tree.verify_inclusion(proof.index, checkpoint.size, leaf, proof.path, checkpoint.root)
    yard.receive()
    sealing.seal()
    assert api.get(address).content == answer.content
    assert api.get(address, yard.outsider).status == 404


def test_a_certificate_needs_a_release(yard: Yard, api: Api) -> None:
    """Nothing is asked for, and the answer says what to do first."""
    answer = api.post(f"units/{yard.ready()}/documents", {"kind": "certificate"})
    assert (answer.status, answer.code) == (409, "not-released")
    assert not DocumentRequest.objects.exists()


@pytest.mark.parametrize(
    ("body", "code", "field"),
    [
        ({"kind": "poem"}, "no-such-kind", "#/kind"),
        ({"kind": "list"}, "unit-unwanted", "#/unit"),
        ({"kind": "certificate", "parameters": {"paper": "A9"}}, "no-such-paper", "#/paper"),
        (
            {"kind": "certificate", "parameters": {"language": "de"}},
            "no-such-language",
            "#/language",
        ),
        ({"kind": "certificate", "parameters": {"papper": "A4"}}, "input-unfit", "#/papper"),
        ({"kind": "certificate", "parameters": {"paper": 4}}, "input-unfit", "#/paper"),
    ],
)
def test_a_wish_that_cannot_be_met_is_refused_by_name(
    yard: Yard, api: Api, body: dict[str, Any], code: str, field: str
) -> None:
    """An unknown kind, a kind of no unit, an unknown size or language, a misspelled parameter."""
    answer = api.post(f"units/{yard.ready()}/documents", body)
    assert (answer.status, answer.code) == (422, code)
    assert answer.body["errors"][0]["pointer"] == field
    assert not DocumentRequest.objects.exists()


def test_an_auditor_reads_a_units_documents_and_asks_for_none(yard: Yard, api: Api) -> None:
    """Rhea sees the certificate's row; asking is refused and leaves no row."""
    unit = yard.ready()
    yard.release(unit)
    answer = api.post(f"units/{unit}/documents", {"kind": "certificate"}, yard.rhea)
    assert (answer.status, answer.code) == (403, "not-allowed")
    assert not DocumentRequest.objects.exists()
    queue.catch_up()
    assert len(api.get(f"units/{unit}/documents", yard.rhea).body["items"]) == 1


def test_a_document_of_no_unit_is_seen_by_whoever_asked_alone(yard: Yard, api: Api) -> None:
    """Ada's list is Ada's: Ben finds nothing, cannot stop it, cannot fetch it."""
    asked = api.post("documents", {"kind": "list"}, yard.ada)
    assert (asked.status, asked.body["unit"]) == (201, None)
    one = f"documents/{asked.body['id']}"
    for path in (one, f"{one}/file", f"{one}/proof"):
        assert (api.get(path, yard.ben).status, api.get(path, yard.ben).code) == (
            404,
            "no-such-document",
        )
    assert api.post(f"{one}/cancel", actor=yard.ben).status == 404
    assert api.get("documents", yard.ben).body["items"] == []
    assert DocumentRequest.objects.get().state == State.WAITING
    queue.run_due()
    assert api.get(one, yard.ada).body["state"] == "done"
    assert api.get(f"{one}/file", yard.ada).content.startswith(b"%PDF")


def test_a_key_sent_twice_asks_once_and_serves_one_person(yard: Yard, api: Api) -> None:
    """Ada's double send is one document; Ben's use of her key gets him nothing."""
    key = uuid4()
    first = api.post("documents", {"kind": "list"}, yard.ada, key=key)
    second = api.post("documents", {"kind": "list"}, yard.ada, key=key)
    assert first.body["id"] == second.body["id"]
    stolen = api.post("documents", {"kind": "list"}, yard.ben, key=key)
    assert (stolen.status, stolen.code) == (422, "command-reused")
    assert DocumentRequest.objects.count() == 1


def test_a_document_of_no_unit_is_stopped_and_made_after_all(yard: Yard, api: Api) -> None:
    """Cancelled it is not made; retried it is."""
    one = f"documents/{api.post('documents', {'kind': 'list'}).body['id']}"
    assert api.post(f"{one}/cancel").body["state"] == "cancelled"
    assert queue.run_due() == 0
    assert api.post(f"{one}/cancel").code == "already-finished"
    assert api.post(f"{one}/retry").body["state"] == "waiting"
    assert queue.run_due() == 1
    assert api.get(one).body["state"] == "done"


def test_a_registration_is_made_again_over_the_api(
    yard: Yard, api: Api, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Sol asks again: version 2 is another document, and a technician is refused."""
    monkeypatch.setitem(KINDS, "registration", built_by("registration", short_certificate))
    unit = sold(yard)
    queue.run_due()
    address = f"units/{unit}/documents"
    request = {"kind": "registration", "parameters": {"again": True}}
    refused = api.post(address, request, yard.ada)
    assert (refused.status, refused.code) == (403, "not-allowed")
    again = api.post(address, request, yard.sol)
    assert again.status == 201
    assert again.body["cause"].endswith("/2")
    assert api.post(address, request, yard.sol).body["id"] == again.body["id"]
    assert api.post(address, {"kind": "registration"}, yard.sol).body["id"] != again.body["id"]


def test_a_withdrawn_release_has_no_certificate_to_ask_for(yard: Yard, api: Api) -> None:
    """Reopened, the unit's next certificate waits for its next release."""
    unit = yard.ready()
    yard.release(unit)
    perform(
        ReopenUnit(reason="Serial misread (invented)", nothing_because=NOT_THE_WORK),
        actor=yard.mira,
        target=unit,
    )
    assert api.post(f"units/{unit}/documents", {"kind": "certificate"}).code == "not-released"


def test_a_lost_file_is_made_again_over_the_api(yard: Yard, api: Api) -> None:
    """By the office; asked for twice it is one job, which can be followed."""
    unit = yard.ready()
    yard.release(unit)
    queue.catch_up()
    queue.run_due()
    made = DocumentRequest.objects.get(kind="certificate")
    address = f"units/{unit}/documents/{made.pk}/remake"
    mira = yard.mira
    assert (api.get(address, mira).status, api.get(address, mira).code) == (404, "never-remade")
    intact = api.post(address, actor=mira)
    assert (intact.status, intact.code) == (409, "file-intact")
    Path(default_storage.path(str(made.file))).unlink()
    assert (api.post(address).status, Remake.objects.count()) == (403, 0)
    first, second = api.post(address, actor=mira), api.post(address, actor=mira)
    assert first.body["id"] == second.body["id"]
    assert (first.body["state"], first.body["found"], first.body["outcome"]) == (
        "waiting",
        "lost",
        "",
    )
    queue.run_due()
    after = api.get(address, mira).body
    assert (after["state"], after["outcome"], after["stand_in"]) == ("done", "same", None)
    assert "put back" in after["text"]
    assert api.get(f"units/{unit}/documents/{made.pk}/file", mira).status == 200


def test_only_whoever_asked_has_a_document_of_no_unit_made_again(yard: Yard, api: Api) -> None:
    """Nobody else learns that there is one."""
    made = api.post("documents", {"kind": "list"}).body["id"]
    queue.run_due()
    row = DocumentRequest.objects.get(pk=made)
    Path(default_storage.path(str(row.file))).unlink()
    address = f"documents/{made}/remake"
    assert api.post(address, actor=yard.mira).status == 404
    assert not Remake.objects.exists()
    assert api.post(address).body["found"] == "lost"
    queue.run_due()
    assert api.get(address).body["outcome"] == "same"
