"""Buyers over the API: reading, correcting, and the errors of a refused correction."""

from uuid import uuid4

import pytest

from prep.models import Buyer, Event, FormerParticulars
from tests.api.client import Api
from tests.cast import PIN, Yard


def test_a_buyer_is_corrected_and_what_is_not_given_stays(api: Api, yard: Yard) -> None:
    """Sent again with its key it counts once; the unit's record says so."""
    buyer, unit = yard.buyer(), yard.started()
    yard.assign(unit, buyer=buyer)
    path, key = f"buyers/{buyer.pk}", uuid4()
    looked = api.get(path, yard.sol).body
    body = {"address": "1 Invented Lane", "email": "fen@example.org", "seen": looked["seen"]}
    first, again = (api.post(f"{path}/amend", body, yard.sol, key=key) for _ in range(2))
    assert (first.status, first.body["id"], first.body["version"]) == (201, str(buyer.pk), 2)
    assert (again.status, again.body) == (200, {**first.body, "repeated": True})
    corrected = {**looked, **body, "seen": Buyer.objects.get().digest()}
    assert api.get(path, yard.rhea).body == corrected
    assert corrected["seen"] != looked["seen"]
    aside = {"erased", "seen", "hold"}
    listed = {name: value for name, value in corrected.items() if name not in aside}
    assert api.get("buyers", yard.sol).body["items"] == [{**listed, "held": False}]
    assert FormerParticulars.objects.count() == 1
    assert Event.objects.filter(kind="unit.buyer_amended", stream_id=str(unit)).count() == 1
    assert Event.objects.filter(stream="buyer", stream_id=str(buyer.pk)).count() == 2


@pytest.mark.parametrize(
    ("who", "body", "status", "code"),
    [
        ("ada", {"phone": "555 0100"}, 403, "not-allowed"),
        ("outsider", {"phone": "555 0100"}, 404, "no-such-buyer"),
        ("sol", {"phone": "555 0100", "seen": "looked at long ago"}, 409, "buyer-changed"),
        ("sol", {}, 409, "nothing-changed"),
        ("sol", {"name": ""}, 422, "input-unfit"),
        ("sol", {"email": "fen"}, 422, "input-unfit"),
        ("sol", {"adress": "1 Invented Lane"}, 422, "input-unfit"),
        ("sol", {"phone": "5" * 61}, 422, "input-unfit"),
    ],
)
def test_what_cannot_be_corrected_is_told_and_changes_nothing(
    api: Api, yard: Yard, who: str, body: dict[str, str], status: int, code: str
) -> None:
    """Neither the buyer nor the log."""
    buyer = yard.buyer()
    yard.assign(yard.started(), buyer=buyer)
    events = Event.objects.count()
    answer = api.post(f"buyers/{buyer.pk}/amend", body, getattr(yard, who))
    assert (answer.status, answer.code) == (status, code)
    assert Event.objects.count() == events
    assert Buyer.objects.get().digest() == buyer.digest()
    assert not FormerParticulars.objects.exists()


def test_an_erased_buyer_stays_erased(api: Api, yard: Yard) -> None:
    """An erased buyer has an empty `seen`."""
    path = f"buyers/{yard.buyer().pk}"
    assert api.post(f"{path}/erase", {"reason": "r", "pin": PIN}, yard.otto).status == 201
    assert api.get(path, yard.sol).body["seen"] == ""
    answer = api.post(f"{path}/amend", {"phone": "555 0100"}, yard.sol)
    assert (answer.status, answer.code) == (409, "buyer-erased")
    assert Buyer.objects.get().phone == ""
