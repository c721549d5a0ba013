"""The sealed log over the API: checkpoints, proofs and public keys."""

from pathlib import Path
from typing import Any

import pytest

from prep.actions import sealing
from prep.models import Checkpoint, Event
from prep.queries import log
from prep.record.log import merkle_tree, signed_notes
from tests.api.client import Api
from tests.cast import Yard


@pytest.fixture(autouse=True)
def _own_keys(settings: Any, tmp_path: Path) -> None:
    """Keys of a test lie in a folder of its own."""
    settings.KEYS = tmp_path


def test_anybody_may_have_the_public_keys_and_nobody_else_the_log(yard: Yard, api: Api) -> None:
    """The public keys, the older first: a bundle must not be the only source of its own key."""
    sealing.seal()
    sealing.new_key()
    answer = api.send("GET", "log/keys", headers={}, anonymous=True)
    assert answer.status == 200
    assert [key["verifier"] for key in answer.body["items"]] == [
        key.text for key in log.public_keys()
    ]
    assert len(answer.body["items"]) == 2
    for path in ("log/checkpoint", "log/consistency?older=1&newer=2"):
        assert api.send("GET", path, headers={}, anonymous=True).status == 401
        assert api.get(path, yard.ada).code == "not-allowed"


def test_an_auditor_proves_that_the_log_only_grew_between_any_two_sizes(
    yard: Yard, api: Api
) -> None:
    """A consistency proof from an older checkpoint to the newest can be verified (RFC 9162)."""
    kept = sealing.seal()
    yard.started()
    sealing.seal()
    assert kept is not None
    newest = api.get("log/checkpoint", yard.rhea).body
    path = f"log/consistency?older={kept.size}&newer={newest['size']}"
    proof = api.get(path, yard.rhea).body
    hashes = [bytes.fromhex(one) for one in proof["hashes"]]
    signed = signed_notes.parse_checkpoint(
        signed_notes.verify_note(newest["note"], log.public_keys())
    )
    merkle_tree.verify_consistency(
        kept.size, signed.size, bytes.fromhex(kept.root), signed.root, hashes
    )
    assert signed.previous == kept.size == Checkpoint.objects.earliest("size").size
    assert api.get(f"log/consistency?older=1&newer={signed.size + 1}", yard.rhea).status == 400


def test_an_auditor_proves_that_an_event_is_in_the_log(yard: Yard, api: Api) -> None:
    """The proof in the open format leads from the event's hash to the signed root."""
    unit = yard.started()
    sealing.seal()
    event = Event.objects.filter(stream_id=str(unit)).latest("pk")
    answer = api.get(f"log/events/{event.pk}/proof", yard.rhea)
    assert answer.status == 200, answer.body
    proof = signed_notes.parse_proof(answer.body["proof"])
    signed = signed_notes.parse_checkpoint(signed_notes.verify_note(proof.note, log.public_keys()))
    leaf = bytes.fromhex(event.leaf)
    merkle_tree.verify_inclusion(proof.index, signed.size, leaf, proof.path, signed.root)
