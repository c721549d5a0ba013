"""What people declare by signing, over HTTP."""

from prep.actions.people import choose_language
from tests.api.client import Api
from tests.cast import Yard


def test_a_device_shows_what_is_signed_before_it_is_signed(api: Api, yard: Yard) -> None:
    """In the language of the person; the signature keeps the digest of these words."""
    choose_language(actor=yard.ada, language="fr")
    shown = api.get("statements", yard.ada).body
    assert shown["language"] == "fr"
    texts = {item["command"]: item["text"] for item in shown["items"]}
    assert set(texts) == {
        "buyer.erase",
        "buyer.hold",
        "buyer.lift-hold",
        "caution.acknowledge",
        "flag.concede",
        "plate.correct",
        "step.check",
        "step.sign",
        "unit.hand-over",
        "unit.join",
        "unit.release",
    }
    wording = yard.acknowledge(yard.started(), "block").events[0].wording
    assert api.get(f"wordings/{wording.digest}", yard.otto).body == {
        "digest": wording.digest,
        "command": "caution.acknowledge",
        "language": "fr",
        "text": texts["caution.acknowledge"],
    }


def test_a_digest_that_nothing_was_signed_under_is_missing(api: Api, yard: Yard) -> None:
    """And the answer says what to check."""
    answer = api.get(f"wordings/{'0' * 64}", yard.otto)
    assert (answer.status, answer.code) == (404, "no-such-wording")
