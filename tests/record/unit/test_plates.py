"""A misread plate is corrected by an event, and all that hangs on it follows."""

from pathlib import Path
from typing import Any
from uuid import UUID

import pytest

from prep.actions.index_rows import stored_rows
from prep.actions.log import ITSELF
from prep.actions.perform import perform
from prep.models import Flag, Unit
from prep.queries.records import record_of
from prep.record.procedure.commands import PublishProcedure
from prep.record.unit.commands.documents import IssueDocument
from prep.record.unit.commands.flags import CloseFlag
from prep.record.unit.commands.plates import AttachPlate, CorrectPlate
from prep.record.unit.commands.registrations import (
    AnswerRegistration,
    SendRegistration,
    as_recorded,
)
from prep.record.unit.events.identity import PlateCorrected
from prep.record.unit.flag_facts import Origin
from prep.record.unit.readiness import readiness
from prep.words.reader import ENGLISH
from prep.words.readiness import reason_text
from prep.words.unit.flags import flag_text
from tests.cast import DOCUMENTS, PIN, Yard
from tests.refusals import refused
from tests.stored_files import own_folders, picture


@pytest.fixture(autouse=True)
def _own_folders(settings: Any, tmp_path: Path) -> None:
    own_folders(settings, tmp_path)


REASON = "An O was taken for a zero"


def photo_of(yard: Yard, unit: UUID) -> str:
    """Ada's photo of a unit's plate, attached."""
    attached = perform(AttachPlate(), actor=yard.ada, target=unit, attachment=picture())
    return str(attached.events[0].photo)


def correction(yard: Yard, unit: UUID, serial: str, **more: Any) -> CorrectPlate:
    """Mira's correction, with a photo of the plate unless it says which."""
    photo = more.pop("photo", None) or photo_of(yard, unit)
    return CorrectPlate(serial=serial, photo=photo, reason=REASON, pin=PIN, **more)


def correct(yard: Yard, unit: UUID, serial: str, **more: Any) -> Any:
    """Mira corrects a unit's plate."""
    return perform(correction(yard, unit, serial, **more), actor=yard.mira, target=unit)


def test_the_record_says_what_it_is_and_what_it_was_read_as(yard: Yard) -> None:
    """With the reason, the photo, and who signed; the index is what the log makes of it."""
    unit = yard.receive("TC1O0")
    event = correct(yard, unit, "TC100").events[0]
    assert isinstance(event, PlateCorrected)
    assert (event.was_serial, event.serial, event.plate) == ("TC1O0", "TC100", "TC100")
    assert (event.was_maker, event.maker, event.reason) == ("Larkfield", "Larkfield", REASON)
    record = record_of(unit)
    assert (record.serial, record.former_serials) == ("TC100", ("TC1O0",))
    assert event.digest == record.photos[0][0].digest
    row = stored_rows(unit)["unit"]
    assert (row["serial"], row["serial_key"], row["former_serials"]) == ("TC100", "TC100", "TC1O0")


def test_the_misread_number_is_free_for_the_machine_that_has_it(yard: Yard) -> None:
    """And finds both afterwards; the corrected one is taken, however it is spelled."""
    unit = yard.receive("TC123")
    correct(yard, unit, "TC124")
    other = yard.receive("TC123")
    assert set(Unit.objects.filter(serial="TC123").values_list("pk", flat=True)) == {other}
    no = refused("already-received", yard.receive, "tc-124")
    assert no.details["unit"] == str(unit)


def test_a_plate_of_another_record_is_refused_and_that_record_named(yard: Yard) -> None:
    """Two records of one machine are joined, not made equal."""
    first, second = yard.receive("TC123"), yard.receive("TC124")
    command = correction(yard, second, "T.C 123")
    no = refused("plate-taken", perform, command, actor=yard.mira, target=second)
    assert no.details == {"unit": str(first), "serial": "TC123"}


def test_a_plate_that_looks_like_another_is_compared_first(yard: Yard) -> None:
    """As when it is received."""
    yard.receive("TC100")
    unit = yard.receive("TC777")
    photo = photo_of(yard, unit)
    looks = correction(yard, unit, "TC1OO", photo=photo)
    refused("look-alike", perform, looks, actor=yard.mira, target=unit)
    correct(yard, unit, "TC1OO", photo=photo, checked_against=["TC100"])
    assert record_of(unit).look_alikes == ("TC100",)


def test_there_is_a_reason_a_photo_of_this_plate_and_a_change(yard: Yard) -> None:
    """A photo of another unit's plate is none; what the record says already is no correction."""
    other, unit = yard.receive("TC001"), yard.receive("TC002")
    strange = correction(yard, unit, "TC003", photo=photo_of(yard, other))
    refused("no-plate-photo", perform, strange, actor=yard.mira, target=unit)
    same = correction(yard, unit, "TC002")
    refused("plate-unchanged", perform, same, actor=yard.mira, target=unit)
    unreadable = correction(yard, unit, " TC003")
    refused("serial-unreadable", perform, unreadable, actor=yard.mira, target=unit)
    wrong_pin = CorrectPlate(serial="TC003", photo=photo_of(yard, unit), reason="x", pin="0000")
    refused("pin-wrong", perform, wrong_pin, actor=yard.mira, target=unit)
    refused("not-allowed", perform, correction(yard, unit, "TC003"), actor=yard.ada, target=unit)


def test_another_spelling_of_the_same_plate_is_a_correction_too(yard: Yard) -> None:
    """The unit itself does not stand in its own way."""
    unit = yard.receive("TC100")
    correct(yard, unit, "TC-100")
    assert record_of(unit).serial == "TC-100"


def test_flags_on_the_misread_plate_are_closed_and_judged_again(yard: Yard) -> None:
    """The papers were right all along; or they differ still, from the corrected number."""
    right = yard.receive("TC101", papers="TC100")
    correct(yard, right, "TC100")
    assert record_of(right).open_flags() == []
    wrong = yard.receive("TC201", papers="TC300")
    correct(yard, wrong, "TC202")
    (flag,) = record_of(wrong).open_flags()
    assert (flag.about.serial, flag.about.papers) == ("TC202", "TC300")
    assert Flag.objects.filter(unit=wrong).count() == 2


def test_what_was_looked_up_under_the_misread_number_is_looked_up_again(yard: Yard) -> None:
    """Work had begun: a campaign may stand open for the machine that it is. Blocks the release."""
    unit = yard.prepared()
    correct(yard, unit, "TC-0100")
    (flag,) = record_of(unit).open_flags()
    assert flag.about.origin == Origin.LOOKED_UP
    assert flag_text(flag.about, ENGLISH).endswith("manual again for TC-0100.")
    refused("not-ready", yard.release, unit)
    correct(yard, unit, "TC-0101")
    (flag,) = record_of(unit).open_flags()
    perform(CloseFlag(flag=flag.id, text="None open (invented)."), actor=yard.ada, target=unit)
    yard.release(unit)


def test_before_work_begins_nothing_was_looked_up(yard: Yard) -> None:
    """A plate corrected on the day it came raises no such flag."""
    unit = yard.receive("TC1O0")
    correct(yard, unit, "TC-0100")
    assert Origin.LOOKED_UP not in [one.about.origin for one in record_of(unit).open_flags()]


def for_serials(yard: Yard, first: str, last: str) -> None:
    """The cast's procedure, in a revision for a range of serials."""
    text = (DOCUMENTS / "procedure.yaml").read_text().replace("revision: 1", "revision: 2", 1)
    text += f"serials: {{from: {first}, to: {last}}}\n"
    perform(PublishProcedure(document=text), actor=yard.otto)


def test_a_procedure_for_other_serials_ends_the_release(yard: Yard) -> None:
    """The unit is not ready, says why, and the release has the correction's reason."""
    for_serials(yard, "TC00001", "TC00500")
    unit = yard.prepared()
    yard.release(unit)
    assert record_of(unit).release
    correct(yard, unit, "TC00901")
    record = record_of(unit)
    assert record.release is None
    assert record.releases[-1].reason == REASON
    (reason,) = readiness(record).reasons
    text = reason_text(reason.stored(), ENGLISH)
    assert "revision 2, is not for serial number TC00901" in text
    refused("not-ready", yard.release, unit)


def test_a_procedure_that_covers_the_right_serial_lets_the_release_stand(yard: Yard) -> None:
    """Nothing was done wrongly but the reading of the plate."""
    for_serials(yard, "TC00001", "TC00500")
    unit = yard.prepared()
    yard.release(unit)
    correct(yard, unit, "TC00301")
    assert record_of(unit).release
    assert readiness(record_of(unit)).ready_for_stock


def test_the_manufacturer_is_corrected_the_same_way(yard: Yard) -> None:
    """A model that is another's is a reason against release until it is set right."""
    unit = yard.receive("TC100")
    correct(yard, unit, "TC100", maker="Hollowfold")
    record = record_of(unit)
    assert (record.maker, record.corrections[0][0].was_maker) == ("Hollowfold", "Larkfield")
    assert "model-of-another" in [reason.code for reason in readiness(record).reasons]
    yard.receive("TC100")
    taken = correction(yard, unit, "TC100", maker="Larkfield")
    refused("plate-taken", perform, taken, actor=yard.mira, target=unit)


def test_after_the_manufacturer_accepted_the_registration_is_due_again(yard: Yard) -> None:
    """It was accepted for a number that is on no machine; the next one sent counts."""
    unit = yard.ready()
    yard.release(unit)
    yard.hand_over(unit)
    issued = IssueDocument(
        document="r-1", kind="registration", number="R1", digest="0" * 64, size=1, cause="c"
    )
    perform(issued, actor=ITSELF, target=unit)
    perform(SendRegistration(document="r-1"), actor=yard.sol, target=unit)
    perform(AnswerRegistration(accepted=True), actor=yard.sol, target=unit)
    assert as_recorded(record_of(unit)).state == "accepted"
    correct(yard, unit, "TC00901")
    now = as_recorded(record_of(unit))
    assert (now.state, now.version) == ("due", 1)
    refused("not-sent", perform, AnswerRegistration(accepted=True), actor=yard.sol, target=unit)
    perform(SendRegistration(document="r-1"), actor=yard.sol, target=unit)
    assert (as_recorded(record_of(unit)).state, as_recorded(record_of(unit)).version) == ("sent", 2)
