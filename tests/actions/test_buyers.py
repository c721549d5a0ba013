"""A buyer's particulars corrected: on every unit of theirs, by whom it concerns, and once."""

from dataclasses import replace
from typing import Any
from uuid import UUID

import pytest

from prep.actions import buyers, sites
from prep.actions.write_path import Command
from prep.models import Buyer, Event, FormerParticulars
from prep.queries.records import history, record_of
from prep.record.roles import Role
from prep.record.unit.events import BuyerAmended
from prep.verify.run import verify
from tests.actions.kept import kept, rows, texts, unguarded
from tests.cast import Yard
from tests.record.unit.test_properties import rebuilt_differs
from tests.refusals import refused

__all__ = ["kept"]

ADDRESS = "1 Invented Lane\nNowhere 00000"


def known() -> list[Any]:
    """Everything kept of buyers, as they are and as they were."""
    return [list(t.objects.order_by("pk").values()) for t in (Buyer, FormerParticulars)]


def denied(code: str, action: Any, **wish: Any) -> Any:
    """The refusal; neither log, index nor particulars changed."""
    before = known()
    no = refused(code, action, command=wish.pop("command", None) or Command(), **wish)
    assert known() == before
    return no


def amended(unit: UUID) -> list[tuple[str, str]]:
    """Who corrected the buyer in a unit's record, and the digest it has of them since."""
    return [
        (h.stamp.name, h.event.buyer.digest)
        for h in history(unit)
        if isinstance(h.event, BuyerAmended)
    ]


def test_every_unit_of_the_buyer_says_so_the_one_handed_over_too(yard: Yard) -> None:
    """Sold, meant for them, or another's: the first two have one event more each."""
    buyer = yard.buyer()
    sold, meant, anothers = yard.prepared(), yard.started(), yard.started()
    for unit in (sold, meant):
        yard.assign(unit, buyer=buyer)
    yard.assign(anothers)
    yard.match_tractor(sold)
    yard.release(sold)
    yard.hand_over(sold)
    before = {unit: record_of(unit) for unit in (sold, meant, anothers)}
    corrected = buyers.amend(actor=yard.sol, command=Command(), buyer=buyer.pk, address=ADDRESS)
    assert (corrected.name, corrected.address) == ("Fen Farm (invented)", ADDRESS)
    for unit in (sold, meant):
        now = record_of(unit)
        assert amended(unit) == [("Sol Invented", corrected.digest())]
        assert (now.version, now.tractor) == (before[unit].version + 1, before[unit].tractor)
        assert rebuilt_differs(unit) == []
    assert amended(anothers) == []
    assert record_of(sold).release == before[sold].release
    assert buyer.digest() not in {corrected.digest(), ""}


@pytest.mark.parametrize("who", ["sol", "mira", "otto"])
def test_sales_the_manager_and_the_administrator_may(yard: Yard, who: str) -> None:
    """On a unit of theirs too."""
    buyer = yard.buyer()
    unit = yard.started()
    yard.assign(unit, buyer=buyer)
    buyers.amend(actor=getattr(yard, who), command=Command(), buyer=buyer.pk, phone="555 0100")
    assert Buyer.objects.get().phone == "555 0100"
    assert len(amended(unit)) == 1


@pytest.mark.parametrize(
    ("who", "code"),
    [("ada", "not-allowed"), ("rhea", "not-allowed"), ("outsider", "no-such-buyer")],
)
def test_nobody_else_may(yard: Yard, who: str, code: str) -> None:
    """A stranger is told no more than that there is no such buyer."""
    buyer = yard.buyer()
    yard.assign(yard.started(), buyer=buyer)
    denied(code, buyers.amend, actor=getattr(yard, who), buyer=buyer.pk, address=ADDRESS)


def test_a_unit_in_another_yard_is_for_somebody_who_works_there_too(yard: Yard) -> None:
    """Sol works in the north; the buyer's unit stands in the south. Nothing is half done."""
    south = replace(yard, site="south")
    sites.open_site(
        founder=yard.otto,
        command=Command(),
        code=south.site,
        name="South yard",
        time_zone="America/Chicago",
        dealer="Invented Implements",
    )
    for person, role in ((yard.ada, Role.TECHNICIAN), (yard.mira, Role.SERVICE_MANAGER)):
        sites.add_member(
            actor=yard.otto, command=Command(), site=south.site, person=person, role=role
        )
    buyer, unit = yard.buyer(), south.started(serial="TC90000")
    yard.assign(yard.started(), buyer=buyer)
    buyers.assign(actor=yard.mira, command=Command(), unit=unit, buyer=buyer.pk, tractor="T-90")
    no = denied("not-allowed", buyers.amend, actor=yard.sol, buyer=buyer.pk, address=ADDRESS)
    assert "yard south" in no.text
    buyers.amend(actor=yard.mira, command=Command(), buyer=buyer.pk, address=ADDRESS)
    assert len(amended(unit)) == 1


def test_an_erased_buyer_is_not_corrected(yard: Yard) -> None:
    """Their data is not to come back under the old reference."""
    buyer = yard.buyer()
    buyers.erase(actor=yard.otto, buyer=buyer.pk)
    denied("buyer-erased", buyers.amend, actor=yard.sol, buyer=buyer.pk, address=ADDRESS)


def test_what_was_known_before_is_erased_with_the_buyer(kept: tuple[Yard, UUID]) -> None:
    """Nothing anybody ever typed of them is left, and the log holds."""
    yard, unit = kept
    buyer = Buyer.objects.get()
    buyers.amend(actor=yard.sol, command=Command(), buyer=buyer.pk, name="Fenn Farm (invented)")
    assert FormerParticulars.objects.exists()
    assert texts(verify()) == []
    buyers.erase(actor=yard.otto, buyer=buyer.pk)
    assert not FormerParticulars.objects.exists()
    assert texts(verify()) == []
    assert record_of(unit).buyer is not None


def test_sent_twice_it_counts_once(yard: Yard) -> None:
    """Also after somebody corrected the buyer again; another wish under the same id is refused."""
    buyer = yard.buyer()
    unit = yard.started()
    yard.assign(unit, buyer=buyer)
    wish: dict[str, Any] = {
        "actor": yard.sol,
        "command": Command(),
        "buyer": buyer.pk,
        "address": ADDRESS,
    }
    buyers.amend(**wish)
    buyers.amend(actor=yard.mira, command=Command(), buyer=buyer.pk, address="2 Invented Lane")
    before = known(), Event.objects.count()
    assert buyers.amend(**wish).address == "2 Invented Lane"
    assert (known(), Event.objects.count()) == before
    denied("command-reused", buyers.amend, **{**wish, "address": "3 Invented Lane"})
    denied("command-reused", buyers.amend, **{**wish, "buyer": yard.buyer().pk})


def test_adding_a_buyer_sent_again_after_a_correction_is_still_that_buyer(yard: Yard) -> None:
    """The tablet's form arrived late; it asks for the buyer as first known."""
    who: dict[str, Any] = {"actor": yard.sol, "command": Command(), "site": yard.site}
    wish = {**who, "name": "Fenn (invented)"}
    buyer = buyers.add(**wish)
    for name in ("Fen Farm (invented)", "Fen & Son (invented)"):
        buyers.amend(actor=yard.sol, command=Command(), buyer=buyer.pk, name=name)
    assert buyers.add(**wish).name == "Fen & Son (invented)"
    denied("command-reused", buyers.add, **{**wish, "email": "fen@example.org"})
    assert Buyer.objects.count() == 1


def test_what_somebody_corrected_meanwhile_is_shown_and_not_overwritten(yard: Yard) -> None:
    """Two desks look at the same buyer; the second hears what it says now."""
    buyer = yard.buyer()
    buyers.amend(
        actor=yard.mira, command=Command(), buyer=buyer.pk, phone="555 0100", seen=buyer.digest()
    )
    no = denied(
        "content-changed",
        buyers.amend,
        actor=yard.sol,
        buyer=buyer.pk,
        address=ADDRESS,
        phone="",
        seen=buyer.digest(),
    )
    assert "It now says: Fen Farm (invented), 555 0100." in no.text


@pytest.mark.parametrize(
    ("told", "code", "field"),
    [
        ({"name": " "}, "name-missing", "name"),
        ({"name": "F" * 201}, "text-too-long", "name"),
        ({"phone": "5" * 61}, "text-too-long", "phone"),
        ({"email": "fen at example"}, "email-unfit", "email"),
        ({"email": "f" * 250 + "@example.org"}, "email-unfit", "email"),
        ({"address": "1 Invented\0Lane"}, "text-unfit", ""),
        ({"name": "Fen\0Farm"}, "text-unfit", ""),
    ],
)
def test_what_cannot_be_kept_is_refused_when_added_and_when_corrected(
    yard: Yard, told: dict[str, str], code: str, field: str
) -> None:
    """By name, in both profiles alike, and nothing is half written."""
    added = {"site": yard.site, "name": "Fen Farm (invented)", **told}
    assert denied(code, buyers.add, actor=yard.sol, **added).field == field
    buyer = yard.buyer()
    yard.assign(yard.started(), buyer=buyer)
    assert denied(code, buyers.amend, actor=yard.sol, buyer=buyer.pk, **told).field == field


def test_a_correction_that_corrects_nothing_says_so(yard: Yard) -> None:
    """Neither particulars given, nor other ones."""
    buyer = yard.buyer()
    denied("nothing-changed", buyers.amend, actor=yard.sol, buyer=buyer.pk)
    denied("nothing-changed", buyers.amend, actor=yard.sol, buyer=buyer.pk, name=buyer.name)


def test_corrected_particulars_hold_in_a_verification_and_altered_ones_do_not(
    kept: tuple[Yard, UUID],
) -> None:
    """What the buyer was is proven by the older reference, what they are by the newer."""
    buyer = Buyer.objects.get()
    assert buyer.former.count() == 1
    assert texts(verify()) == []
    altered = [f"The particulars of buyer {buyer.pk} were altered."]
    with unguarded():
        rows(FormerParticulars).update(name="Other Farm (invented)")
        assert texts(verify()) == altered
    with unguarded():
        rows(FormerParticulars).delete()
        assert texts(verify()) == altered
    with unguarded():
        was, now = FormerParticulars.objects.get(), Buyer.objects.get()
        rows(Buyer).update(phone=was.phone, salt=was.salt)
        rows(FormerParticulars).update(phone=now.phone, salt=now.salt)
        assert texts(verify()) == altered
    with unguarded():
        rows(Buyer).update(name="(erased)", salt="", erased=Event.objects.latest("pk").recorded)
        assert texts(verify()) == [f"The buyer {buyer.pk} is called erased and is not."]


def test_a_unit_that_went_back_to_stock_keeps_the_reference_it_had(yard: Yard) -> None:
    """It is told of no correction; what it was meant for is still proven."""
    buyer, unit = yard.buyer(), yard.started()
    yard.assign(unit, buyer=buyer)
    buyers.withdraw(actor=yard.sol, command=Command(), unit=unit, reason="Bought another one.")
    buyers.amend(actor=yard.sol, command=Command(), buyer=buyer.pk, address=ADDRESS)
    assert amended(unit) == []
    assert [text for text in texts(verify()) if "buyer" in text] == []
