"""Verification holds the details of buyers against the digests in the buyers' own streams."""

from datetime import timedelta
from uuid import UUID, uuid4

import pytest

from prep.actions.perform import perform
from prep.models import Buyer, Event, FormerParticulars, Site
from prep.record.buyer.commands import AmendBuyer
from prep.verify.run import verify
from tests.actions.kept import codes, kept, rows, texts, unguarded
from tests.cast import ERASING, Yard

__all__ = ["kept"]


def test_a_buyer_of_no_unit_is_verified_too(yard: Yard) -> None:
    """Added at the desk, nothing sold yet: the row, then another name in it, then no row."""
    buyer = yard.buyer()
    report = verify()
    assert texts(report) == []
    assert report.checked["reference-data"] == 12
    with unguarded():
        rows(Buyer).update(name="Other Farm (invented)")
        assert texts(verify()) == [f"The details of buyer {buyer.pk} were altered."]
    with unguarded():
        rows(Buyer)._raw_delete("default")
        assert texts(verify()) == [f"The row of buyer {buyer.pk} is missing."]


def test_a_buyer_whom_no_event_speaks_of_is_named(kept: tuple[Yard, UUID]) -> None:
    """Put into the table behind the service's back."""
    added = uuid4()
    with unguarded():
        Buyer.objects.create(id=added, site_id="north", name="Nobody (invented)", salt="00")
        assert texts(verify()) == [f"Added, no event mentions it: buyer {added}."]


def test_a_buyer_moved_to_another_yard_is_named(kept: tuple[Yard, UUID]) -> None:
    """Sales of that yard would read details that are none of theirs."""
    buyer = Buyer.objects.get()
    with unguarded():
        Site.objects.create(code="south", name="x", time_zone="UTC", dealer="x", version=1)
        rows(Buyer).update(site_id="south")
        found = texts(verify())
    assert found == [
        f"Buyer {str(buyer.pk)[:8]} (Larkfield TC00001) was moved to another yard; no event says "
        "so.",
        "Added, no event mentions it: yard south.",
    ]


def test_details_that_come_back_after_they_were_erased_are_named(yard: Yard) -> None:
    """A name, a phone number, what was known before, or the mark of erasure taken away."""
    buyer = yard.buyer()
    perform(AmendBuyer(phone="555 0100"), actor=yard.sol, target=buyer.pk)
    perform(ERASING, actor=yard.otto, target=buyer.pk)
    erased = Buyer.objects.get()
    assert texts(verify()) == []
    left = [f"Buyer {buyer.pk} was erased by the log, but details are still there."]
    for back in ({"name": "Fen Farm (invented)"}, {"phone": "555 0100"}, {"erased": None}):
        with unguarded():
            rows(Buyer).update(**back)
            assert texts(verify()) == left
    with unguarded():
        FormerParticulars.objects.create(buyer=erased, name="Fen Farm (invented)", salt="00")
        assert texts(verify()) == left
    with unguarded():
        assert erased.erased is not None
        rows(Buyer).update(erased=erased.erased + timedelta(days=1))
        assert texts(verify()) == [f"Buyer {buyer.pk}: the time they were erased was altered."]


def test_a_unit_that_refers_to_other_details_of_its_buyer_is_named(
    kept: tuple[Yard, UUID], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Details nobody ever gave of them, and details that were corrected since."""
    _, unit = kept
    buyer = Buyer.objects.get()
    event = Event.objects.get(stream_id=str(unit), kind="unit.buyer_amended")
    older = buyer.former.get().digest()
    called = f"{str(buyer.pk)[:8]} (Larkfield TC00001)"
    # As if the event had been recorded so.
    monkeypatch.setattr("prep.verify.index.intact", lambda stream, name: True)
    for digest, code, text in (
        (
            "0" * 64,
            "buyer-reference-unknown",
            f"Unit Larkfield TC00001 refers to details of buyer {called} that are in none of the "
            "buyer's events.",
        ),
        (
            older,
            "buyer-reference-old",
            f"Unit Larkfield TC00001 does not refer to the newest details of buyer {called}.",
        ),
    ):
        with unguarded():
            body = event.body.replace(buyer.digest(), digest)
            rows(Event).filter(pk=event.pk).update(body=body)
            report = verify()
        found = zip(codes(report), texts(report), strict=True)
        assert [pair for pair in found if pair[0].startswith("buyer-")] == [(code, text)]
