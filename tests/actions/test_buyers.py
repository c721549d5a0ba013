"""A buyer's particulars corrected: on every unit of theirs, by whom it concerns, and once."""

from dataclasses import replace
from typing import Any
from uuid import UUID

import pytest

from prep.actions import sites
from prep.actions.perform import perform
from prep.actions.submission import Submission
from prep.models import Buyer, Event, FormerParticulars, Person
from prep.queries.records import history, record_of
from prep.record.buyer.commands import AddBuyer, AmendBuyer
from prep.record.command import Command
from prep.record.refusal import Refusal
from prep.record.roles import Role
from prep.record.site.commands import GiveRole
from prep.record.site.yard_commands import OpenSite
from prep.record.struct_errors import Fault
from prep.record.unit.commands.buyers import AssignBuyer, WithdrawBuyer
from prep.record.unit.events import BuyerAmended
from prep.verify.run import verify
from tests.actions.kept import kept, rows, texts, unguarded
from tests.cast import ERASING, Yard, add_buyer
from tests.record.unit.invariants import rebuilt_differs
from tests.refusals import refused

__all__ = ["kept"]

ADDRESS = "1 Invented Lane\nNowhere 00000"


def known() -> list[Any]:
    """Everything kept of buyers, as they are and as they were."""
    return [list(t.objects.order_by("pk").values()) for t in (Buyer, FormerParticulars)]


def denied(
    code: str,
    command: Command,
    actor: Person,
    buyer: Buyer | None = None,
    submission: Submission | None = None,
) -> Refusal:
    """The refusal; neither log, index nor particulars changed."""
    before = known()
    target = buyer.pk if buyer else None
    no = refused(code, perform, command, actor=actor, target=target, submission=submission)
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
    perform(AmendBuyer(address=ADDRESS), actor=yard.sol, target=buyer.pk)
    corrected = Buyer.objects.get(pk=buyer.pk)
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
    perform(AmendBuyer(phone="555 0100"), actor=getattr(yard, who), target=buyer.pk)
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
    denied(code, AmendBuyer(address=ADDRESS), getattr(yard, who), buyer)


def test_a_buyer_is_sold_units_of_the_own_yard_only(yard: Yard) -> None:
    """Or whoever keeps the buyer could not correct the details; Mira, of both yards, neither."""
    south = replace(yard, site="south")
    sites.open_site(
        OpenSite(
            site=south.site,
            name="South yard",
            time_zone="America/Chicago",
            dealer="Invented Implements",
        ),
        founder=yard.otto,
    )
    for person, role in ((yard.ada, Role.TECHNICIAN), (yard.mira, Role.SERVICE_MANAGER)):
        perform(GiveRole(person=person.username, role=role), actor=yard.otto, target=south.site)
    buyer, unit = yard.buyer(), south.started(serial="TC90000")
    selling = AssignBuyer(buyer=buyer.pk, tractor="T-90")
    refused("no-such-buyer", perform, selling, actor=yard.mira, target=unit)
    perform(AmendBuyer(address=ADDRESS), actor=yard.sol, target=buyer.pk)


def test_an_erased_buyer_is_not_corrected(yard: Yard) -> None:
    """Their data is not to come back under the old reference."""
    buyer = yard.buyer()
    perform(ERASING, actor=yard.otto, target=buyer.pk)
    denied("buyer-erased", AmendBuyer(address=ADDRESS), yard.sol, buyer)
    denied("buyer-erased", ERASING, yard.otto, buyer)


def test_what_was_known_before_is_erased_with_the_buyer(kept: tuple[Yard, UUID]) -> None:
    """Nothing anybody ever typed of them is left, and the log holds."""
    yard, unit = kept
    buyer = Buyer.objects.get()
    perform(AmendBuyer(name="Fenn Farm (invented)"), actor=yard.sol, target=buyer.pk)
    assert FormerParticulars.objects.exists()
    assert texts(verify()) == []
    perform(ERASING, actor=yard.otto, target=buyer.pk)
    assert not FormerParticulars.objects.exists()
    assert texts(verify()) == []
    assert record_of(unit).buyer is not None


def test_sent_twice_it_counts_once(yard: Yard) -> None:
    """Also after somebody corrected the buyer again; another wish under the same id is refused."""
    buyer = yard.buyer()
    unit = yard.started()
    yard.assign(unit, buyer=buyer)
    same, wish = Submission(), AmendBuyer(address=ADDRESS)
    first = perform(wish, actor=yard.sol, target=buyer.pk, submission=same)
    assert (first.version, first.repeated) == (2, False)
    perform(AmendBuyer(address="2 Invented Lane"), actor=yard.mira, target=buyer.pk)
    before = known(), Event.objects.count()
    again = perform(wish, actor=yard.sol, target=buyer.pk, submission=same)
    assert (again.version, again.repeated, again.events) == (2, True, first.events)
    assert Buyer.objects.get().address == "2 Invented Lane"
    assert (known(), Event.objects.count()) == before
    denied("command-reused", AmendBuyer(address="3 Invented Lane"), yard.sol, buyer, same)
    denied("command-reused", wish, yard.mira, buyer, same)
    denied("command-reused", wish, yard.sol, yard.buyer(), same)


def test_adding_a_buyer_sent_again_after_a_correction_is_still_that_buyer(yard: Yard) -> None:
    """The tablet's form arrived late; it asks for the buyer as first known."""
    same, wish = Submission(), AddBuyer(site=yard.site, name="Fenn (invented)")
    buyer = add_buyer(wish, actor=yard.sol, submission=same)
    for name in ("Fen Farm (invented)", "Fen & Son (invented)"):
        perform(AmendBuyer(name=name), actor=yard.sol, target=buyer.pk)
    again = add_buyer(wish, actor=yard.sol, submission=same)
    assert (again.pk, again.name) == (buyer.pk, "Fen & Son (invented)")
    other = AddBuyer(site=yard.site, name="Fenn (invented)", email="fen@example.org")
    denied("command-reused", other, yard.sol, submission=same)
    assert Buyer.objects.count() == 1


def test_what_somebody_corrected_meanwhile_is_not_overwritten(yard: Yard) -> None:
    """Two desks look at the same buyer. The refusal holds nothing personal: nobody notes that it is
    read."""
    buyer = yard.buyer()
    perform(AmendBuyer(phone="555 0100", seen=buyer.digest()), actor=yard.mira, target=buyer.pk)
    late = AmendBuyer(address=ADDRESS, phone="", seen=buyer.digest())
    no = denied("buyer-changed", late, yard.sol, buyer)
    assert no.details == {}


@pytest.mark.parametrize(
    ("told", "faults"),
    [
        ({"name": " "}, [("name", "blank", "")]),
        ({"name": "F" * 201}, [("name", "too-long", "200")]),
        ({"phone": "5" * 61}, [("phone", "too-long", "60")]),
        ({"email": "fen at example"}, [("email", "not-an-email", "")]),
        ({"email": "f" * 250 + "@example.org"}, [("email", "too-long", "254")]),
        ({"name": "", "phone": "5" * 61}, [("name", "blank", ""), ("phone", "too-long", "60")]),
    ],
)
def test_what_cannot_be_kept_is_refused_when_added_and_when_corrected(
    yard: Yard, told: dict[str, str], faults: list[tuple[str, str, str]]
) -> None:
    """By name, all at once, in both profiles alike, and nothing is half written."""
    buyer = yard.buyer()
    yard.assign(yard.started(), buyer=buyer)
    wanted = tuple(Fault((field,), problem, bound) for field, problem, bound in faults)
    added = AddBuyer(**{"site": yard.site, "name": "Fen Farm (invented)", **told})
    assert denied("input-unfit", added, yard.sol).details["faults"] == wanted
    amended = AmendBuyer(**told)
    assert denied("input-unfit", amended, yard.sol, buyer).details["faults"] == wanted


@pytest.mark.parametrize("told", [{"address": "1 Invented\0Lane"}, {"name": "Fen\0Farm"}])
def test_a_nul_is_refused_when_added_and_when_corrected(yard: Yard, told: dict[str, str]) -> None:
    """No database but SQLite keeps one."""
    buyer = yard.buyer()
    added = AddBuyer(**{"site": yard.site, "name": "Fen Farm (invented)", **told})
    denied("text-unfit", added, yard.sol)
    denied("text-unfit", AmendBuyer(**told), yard.sol, buyer)


def test_a_correction_that_corrects_nothing_says_so(yard: Yard) -> None:
    """Neither particulars given, nor other ones."""
    buyer = yard.buyer()
    denied("nothing-changed", AmendBuyer(), yard.sol, buyer)
    denied("nothing-changed", AmendBuyer(name=buyer.name), yard.sol, buyer)


def test_corrected_particulars_hold_in_a_verification_and_altered_ones_do_not(
    kept: tuple[Yard, UUID],
) -> None:
    """What the buyer was is proven by the older reference, what they are by the newer."""
    buyer = Buyer.objects.get()
    called = f"{str(buyer.pk)[:8]} (Larkfield TC00001)"
    assert buyer.former.count() == 1
    assert texts(verify()) == []
    altered = [f"The details of buyer {called} were altered."]
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
        assert texts(verify()) == [f"Buyer {called} is marked as erased; no event says so."]


def test_a_unit_that_went_back_to_stock_keeps_the_reference_it_had(yard: Yard) -> None:
    """It is told of no correction; what it was meant for is still proven."""
    buyer, unit = yard.buyer(), yard.started()
    yard.assign(unit, buyer=buyer)
    perform(WithdrawBuyer(reason="Bought another one."), actor=yard.sol, target=unit)
    perform(AmendBuyer(address=ADDRESS), actor=yard.sol, target=buyer.pk)
    assert amended(unit) == []
    assert [text for text in texts(verify()) if "buyer" in text] == []
