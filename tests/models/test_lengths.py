"""What is longer than can be kept is refused by name, in both profiles alike."""

import pytest

from prep.actions import buyers
from prep.actions.unit import receiving
from prep.actions.write_path import Command
from prep.models import Buyer, Event, Unit
from tests.cast import Yard
from tests.refusals import refused


def test_a_place_longer_than_its_column_is_refused_and_nothing_is_recorded(yard: Yard) -> None:
    """60 characters are kept; the 61st would be lost, or break the database."""
    unit = yard.receive()
    events = Event.objects.count()
    no = refused(
        "text-too-long",
        receiving.place,
        actor=yard.ada,
        command=Command(),
        unit=unit,
        place="row " + "9" * 57,
    )
    assert (no.field, no.text) == (
        "place",
        "“place” has 61 characters, and 60 are kept. Shorten it.",
    )
    assert Event.objects.count() == events
    receiving.place(actor=yard.ada, command=Command(), unit=unit, place="row " + "9" * 56)
    assert len(Unit.objects.get(pk=unit).place) == 60


@pytest.mark.parametrize(("field", "longest"), [("name", 200), ("phone", 60)])
def test_a_buyers_particulars_are_refused_by_name(yard: Yard, field: str, longest: int) -> None:
    """No buyer is added."""
    details = {"name": "Fen Farm (invented)", field: "7" * (longest + 1)}
    no = refused(
        "text-too-long", buyers.add, actor=yard.sol, command=Command(), site=yard.site, **details
    )
    assert no.field == field
    assert not Buyer.objects.exists()


def test_a_makers_name_longer_than_its_column_receives_nothing(yard: Yard) -> None:
    """Neither a unit nor an event."""
    events = Event.objects.count()
    refused(
        "text-too-long",
        receiving.receive,
        actor=yard.ada,
        command=Command(),
        site=yard.site,
        maker="Larkfield " * 13,
        serial="TC00001",
    )
    assert not Unit.objects.exists()
    assert Event.objects.count() == events
