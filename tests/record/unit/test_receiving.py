"""Receiving: plates, papers, damage, look-alike serials."""

from uuid import UUID

from prep.actions.perform import perform
from prep.models import Flag, Unit
from prep.queries.records import record_of
from prep.record.unit.commands.flags import CloseFlag
from prep.record.unit.commands.receiving import ArrivalDamage, NoteDamage, ReceiveUnit, SetLocation
from prep.words.reader import ENGLISH
from prep.words.refusals import refusal_text
from prep.words.unit.flags import kept_flag_text
from tests.cast import Yard
from tests.refusals import refused


def flag_of(unit: UUID) -> str:
    """A unit's one flag in words."""
    return kept_flag_text(Flag.objects.get(unit=unit).about, ENGLISH)


def test_a_serial_is_stored_exactly_as_on_the_plate(yard: Yard) -> None:
    """Leading zeros and dashes are kept."""
    unit = yard.receive("007-1O0B")
    assert Unit.objects.get(pk=unit).serial == "007-1O0B"


def test_a_serial_that_looks_like_another_is_compared_first(yard: Yard) -> None:
    """O and 0 look alike: both are shown, never merged."""
    yard.receive("TC100")
    no = refused("look-alike", yard.receive, "TCIOO")
    assert no.details["look_alikes"] == ["TC100"]
    unit = yard.receive("TCIOO", checked_against=["TC100"])
    assert record_of(unit).look_alikes == ("TC100",)


def test_the_same_serial_is_not_received_twice(yard: Yard) -> None:
    """However it is spelled; the refusal names the unit that has it."""
    unit = yard.receive("TC100")
    for spelled in ("TC100", "tc100", "TC-100", "T C.100", "ＴＣ１００"):
        no = refused("already-received", yard.receive, spelled, checked_against=["TC100"])
        assert no.details == {"unit": str(unit), "serial": "TC100"}
    assert Unit.objects.count() == 1


def test_a_plate_with_nothing_on_it_is_not_received(yard: Yard) -> None:
    """Dashes alone are no serial, nor is one whose characters are written out too long."""
    refused("serial-unreadable", yard.receive, "--")
    refused("serial-unreadable", yard.receive, "\ufdfa" * 10)


def test_another_makers_equal_number_is_another_machine(yard: Yard) -> None:
    """Units are unique by manufacturer and serial."""
    yard.receive("TC100")
    perform(ReceiveUnit(site="north", maker="Hollowfold", serial="TC100"), actor=yard.ada)
    assert Unit.objects.filter(serial="TC100").count() == 2


def test_papers_that_say_another_serial_raise_a_flag(yard: Yard) -> None:
    """Swapped units are detected at receiving."""
    unit = yard.receive("TC100", papers="TC101")
    assert flag_of(unit) == "The plate says TC100, the papers say TC101."


def test_concealed_damage_raises_a_flag_and_says_whether_the_carrier_knows(yard: Yard) -> None:
    """What, where, how many; “subject to inspection” is no exception."""
    unit = yard.receive()
    perform(
        NoteDamage(damage=ArrivalDamage("Bent lug", "right wing hinge", 2)),
        actor=yard.ada,
        target=unit,
    )
    assert flag_of(unit) == "Bent lug, right wing hinge (2). Not noted on the bill of lading."
    perform(
        CloseFlag(flag=Flag.objects.get(unit=unit).pk, text="Lugs replaced"),
        actor=yard.ada,
        target=unit,
    )
    assert not Flag.objects.get(unit=unit).open


def test_an_option_the_model_does_not_have_is_refused(yard: Yard) -> None:
    """The options it has are listed."""
    no = refused("unknown-option", yard.receive, options=["ski"])
    assert refusal_text(no, ENGLISH) == (
        "Larkfield TC-12 trailed cutter has no option ski. Its options: wide tires and thousand "
        "rpm."
    )


def test_only_service_receives(yard: Yard) -> None:
    """Sales may move a unit in the yard but not receive it."""
    refused(
        "not-allowed",
        perform,
        ReceiveUnit(site="north", maker="Larkfield", serial="TC100"),
        actor=yard.sol,
    )
    unit = yard.receive()
    perform(SetLocation(place="Row B, 4"), actor=yard.sol, target=unit)
    assert Unit.objects.get(pk=unit).place == "Row B, 4"
