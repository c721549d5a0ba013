"""What is longer than can be kept is refused by name, in both profiles alike."""

import pytest

from prep.actions.perform import perform
from prep.models import Buyer, Event, Unit
from prep.record.buyer.commands import AddBuyer
from prep.record.struct_errors import Fault
from prep.record.unit.commands.receiving import ReceiveUnit, SetLocation
from prep.words.reader import ENGLISH
from prep.words.refusals import refusal_text
from tests.cast import Yard
from tests.refusals import refused


def test_a_place_longer_than_its_column_is_refused_and_nothing_is_recorded(yard: Yard) -> None:
    """60 characters are kept; the 61st would be lost, or break the database."""
    unit = yard.receive()
    events = Event.objects.count()
    place = SetLocation(place="row " + "9" * 57)
    no = refused("input-unfit", perform, place, actor=yard.ada, target=unit)
    assert (no.field, no.details["faults"]) == (
        "place",
        (Fault(("place",), "too-long", "60"),),
    )
    assert refusal_text(no, ENGLISH) == "“Location” may be at most 60 long. Shorten it."
    assert Event.objects.count() == events
    perform(SetLocation(place="row " + "9" * 56), actor=yard.ada, target=unit)
    assert len(Unit.objects.get(pk=unit).place) == 60


@pytest.mark.parametrize(
    ("field", "longest"), [("name", 200), ("address", 500), ("phone", 60), ("email", 254)]
)
def test_a_buyers_particulars_are_refused_by_name(yard: Yard, field: str, longest: int) -> None:
    """No buyer is added."""
    details = {"name": "Fen Farm (invented)", field: "7" * (longest + 1)}
    no = refused("input-unfit", perform, AddBuyer(site=yard.site, **details), actor=yard.sol)
    assert no.details["faults"] == (Fault((field,), "too-long", str(longest)),)
    assert not Buyer.objects.exists()


def test_a_makers_name_longer_than_its_column_receives_nothing(yard: Yard) -> None:
    """Neither a unit nor an event."""
    events = Event.objects.count()
    unit = ReceiveUnit(site=yard.site, maker="Larkfield " * 13, serial="TC00001")
    no = refused("input-unfit", perform, unit, actor=yard.ada)
    assert no.details["faults"] == (Fault(("maker",), "too-long", "60"),)
    assert not Unit.objects.exists()
    assert Event.objects.count() == events
