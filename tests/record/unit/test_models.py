"""A wrong model: set plainly before the start, corrected with its consequences after."""

from typing import Any
from uuid import UUID

import pytest

from prep.actions.index_rows import stored_rows
from prep.actions.perform import perform
from prep.queries.records import record_of
from prep.record.model.commands import PublishModel
from prep.record.procedure.commands import PublishProcedure
from prep.record.unit.commands.models import AssignModel, CorrectModel
from prep.record.unit.commands.releases import ReopenUnit
from prep.record.unit.commands.sheets import MoveSheet
from prep.record.unit.events.identity import ModelCorrected
from prep.record.unit.readiness import readiness
from prep.record.unit.sheet import Status, statuses
from prep.record.unit.views.index_rows import rows
from prep.words.reader import ENGLISH
from prep.words.unit.history import event_text
from tests.cast import DOCUMENTS, NOT_THE_WORK, Yard
from tests.refusals import refused

REASON = "The decal is of the wider one"


@pytest.fixture
def with_a_wider_model(yard: Yard) -> Yard:
    """A yard with a second model that no procedure is for."""
    model = (DOCUMENTS / "model.yaml").read_text().replace("TC-12", "TC-15")
    perform(PublishModel(document=model.replace("450 ft", "500 ft")), actor=yard.otto)
    return yard


@pytest.fixture
def wider(with_a_wider_model: Yard) -> Yard:
    """A yard with a second model, and a procedure of its own for that."""
    yard = with_a_wider_model
    procedure = (DOCUMENTS / "procedure.yaml").read_text()
    for was, now in (("TC-SETUP", "TC-WIDE"), ("models: [TC-12]", "models: [TC-15]")):
        procedure = procedure.replace(was, now)
    procedure = procedure.replace("at_most: 6 in", "at_most: 7 in")
    perform(PublishProcedure(document=procedure), actor=yard.otto)
    return yard


def correct(yard: Yard, unit: UUID, model: str = "TC-15") -> Any:
    """Mira corrects the model."""
    command = CorrectModel(model=model, reason=REASON)
    return perform(command, actor=yard.mira, target=unit)


def move(yard: Yard, unit: UUID, procedure: str = "TC-WIDE") -> Any:
    """Mira moves the sheet to a procedure."""
    command = MoveSheet(procedure=procedure, revision=1, reason=REASON)
    return perform(command, actor=yard.mira, target=unit)


def test_before_the_start_the_model_is_simply_set(wider: Yard) -> None:
    """There is nothing yet that depends on it."""
    unit = wider.receive()
    no = CorrectModel(model="TC-15", reason=REASON)
    refused("model-not-used", perform, no, actor=wider.mira, target=unit)
    perform(AssignModel(model="TC-15"), actor=wider.ada, target=unit)
    record = record_of(unit)
    assert record.model
    assert record.model.code == "TC-15"


def test_after_the_start_what_draws_on_the_model_is_done_again(wider: Yard) -> None:
    """The event names what re-opens and what stands, and the history says both."""
    unit = wider.prepared()
    refused("sheet-started", perform, AssignModel(model="TC-15"), actor=wider.ada, target=unit)
    event = correct(wider, unit).events[0]
    assert isinstance(event, ModelCorrected)
    assert (event.was_model, event.model.code, event.reason) == ("TC-12", "TC-15", REASON)
    assert (event.reopened, event.kept) == (("blades",), ("block", "pitch"))
    record = record_of(unit)
    assert statuses(record)["blades"] is not Status.DONE
    assert statuses(record)["pitch"] is Status.DONE
    said = event_text(event, record, ENGLISH)
    assert "To be done again: Torque the blade bolts." in said
    assert "Standing: Block the deck and Level fore and aft." in said
    fresh, stored = rows(record), stored_rows(unit)
    assert {name: stored["unit"][name] for name in fresh.unit} == fresh.unit


def test_a_procedure_that_is_not_for_the_model_is_changed_for_one_that_is(wider: Yard) -> None:
    """The unit is not ready until then; steps that differ re-open as well."""
    unit = wider.prepared()
    refused("other-procedure", move, wider, unit)
    correct(wider, unit)
    codes = [reason.code for reason in readiness(record_of(unit)).reasons]
    assert codes[0] == "sheet-does-not-fit"
    refused("not-ready", wider.release, unit)
    moved = move(wider, unit).events[0]
    assert (moved.procedure, moved.reopened) == ("TC-WIDE", ("pitch",))
    wider.torque_blades(unit, "500 ft lb", "500 ft lb")
    wider.level(unit)
    wider.release(unit)


def test_a_procedure_for_both_models_stands(with_a_wider_model: Yard) -> None:
    """Nothing has to be moved."""
    wider = with_a_wider_model
    text = (DOCUMENTS / "procedure.yaml").read_text().replace("revision: 1", "revision: 2", 1)
    both = text.replace("models: [TC-12]", "models: [TC-12, TC-15]")
    perform(PublishProcedure(document=both), actor=wider.otto)
    unit = wider.prepared()
    correct(wider, unit)
    codes = [reason.code for reason in readiness(record_of(unit)).reasons]
    assert "sheet-does-not-fit" not in codes
    wider.torque_blades(unit, "500 ft lb", "500 ft lb")
    wider.release(unit)


def test_a_correction_changes_something_and_only_while_the_unit_is_open(wider: Yard) -> None:
    """A released unit is reopened first; only the manager corrects."""
    unit = wider.prepared()
    refused("model-unchanged", correct, wider, unit, "TC-12")
    refused("no-such-model", correct, wider, unit, "TC-99")
    command = CorrectModel(model="TC-15", reason=REASON)
    refused("not-allowed", perform, command, actor=wider.ada, target=unit)
    wider.release(unit)
    refused("released", correct, wider, unit)
    perform(
        ReopenUnit(reason="Wrong model", nothing_because=NOT_THE_WORK),
        actor=wider.mira,
        target=unit,
    )
    correct(wider, unit)
