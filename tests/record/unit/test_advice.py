"""Advice on a nonconforming reading, in the unit the person typed."""

from uuid import UUID

import pytest

from prep.actions.perform import perform
from prep.queries.records import record_of
from prep.record.model.commands import PublishModel
from prep.record.procedure.commands import PublishProcedure
from prep.record.unit.commands.receiving import ReceiveUnit
from prep.record.unit.commands.sheets import StartSheet
from prep.record.unit.views.advice import advise
from prep.words.reader import ENGLISH
from prep.words.reading_advice import advised
from tests.cast import Yard
from tests.refusals import refused

MODEL = """
model: TL-10
revision: 1
sort: machine
maker: Larkfield
name: Larkfield TL-10
note: Invented for tests.
data: {rod_lead: 1/8 in, ratio: "2", oil_area: 57.75 in²}
"""
PROCEDURE = """
procedure: TL-LEVEL
revision: 1
title: Level the TL-10
note: Invented for tests.
models: [TL-10]
manual: Set-up manual TL-10 (invented)
sections:
  - section: level
    title: Level
    steps:
      - step: pitch
        title: Level fore and aft
        kind: adjust
        do: Measure front and rear.
        lines:
          - {line: front, ask: Front tip, quantity: length}
          - line: rear
            ask: Rear tip
            quantity: length
            limit:
              nominal: {from: reading.pitch.front}
              plus: 1 in
              source: Set-up manual TL-10 (invented)
              basis: manufacturer
            advice:
              rule: leveling.pitch
              with:
                front: reading.pitch.front
                rear: reading.pitch.rear
                least_lower: 1/2 in
                most_lower: 1 in
                lead: model.rod_lead
                threads: opposite
                ratio: model.ratio
                longer: lowers
                near_thread: right
                rods: 1
              field: rod
      - step: oil
        title: Check the oil level
        kind: fill
        do: Measure from the plug's edge down to the oil.
        lines:
          - line: below
            ask: Oil below the plug
            quantity: length
            limit:
              at_least: 0 in
              at_most: 1/4 in
              source: Set-up manual TL-10 (invented)
              basis: manufacturer
            advice:
              rule: gear_oil.plug_level
              with:
                below_plug: reading.oil.below
                tolerance: 1/4 in
                oil_area: model.oil_area
              field: advice
"""


@pytest.fixture
def unit(yard: Yard) -> UUID:
    """A unit of an invented model whose pitch is set by a rod."""
    perform(PublishModel(document=MODEL), actor=yard.otto)
    perform(PublishProcedure(document=PROCEDURE), actor=yard.otto)
    received = perform(
        ReceiveUnit(site="north", maker="Larkfield", serial="TL1", model="TL-10"), actor=yard.ada
    )
    perform(StartSheet(), actor=yard.ada, target=received.unit)
    return received.unit


def advice(unit: UUID, step: str, line: str) -> str:
    """The advice on a reading."""
    given = advise(record_of(unit), (step, line, ""))
    assert given is not None
    return advised(given, ENGLISH)


def test_a_low_rear_says_how_many_turns_of_the_rod(yard: Yard, unit: UUID) -> None:
    """1 1/4 in up to the middle of the limit, half an inch a turn: two and a half turns.

    A turnbuckle with opposite threads moves two leads a turn (arithmetic of the screw; the
    mechanism is in the manuals restated in the reference on leveling), the linkage doubles it. A
    longer rod lowers the front here, so the rod becomes longer.
    """
    yard.take(unit, "pitch", "front", "12 in")
    yard.take(unit, "pitch", "rear", "11 1/2 in")
    assert advice(unit, "pitch", "rear") == (
        "Lengthen the rod: turn it 2.5 turns clockwise, seen from the end with the right-hand "
        "thread."
    )


def test_oil_to_add_is_said_in_the_system_typed(yard: Yard, unit: UUID) -> None:
    """One inch low over 57.75 in² is 57.75 in³: a US quart, 231/4 in³ (NIST SP 811), or 0.946 L."""
    first = yard.take(unit, "oil", "below", "1 in").events[0]
    assert advice(unit, "oil", "below").startswith("Add 1 US qt ")
    yard.take(
        unit, "oil", "below", "25.4 mm", supersedes=first.reading, reason="Read with the rule"
    )
    assert advice(unit, "oil", "below").startswith("Add 0.946 L ")


def test_a_reading_in_order_needs_no_advice(yard: Yard, unit: UUID) -> None:
    """A conforming reading gets no advice."""
    yard.take(unit, "oil", "below", "1/8 in")
    assert advise(record_of(unit), ("oil", "below", "")) is None


def test_an_advice_that_cannot_be_worked_out_says_why(yard: Yard, unit: UUID) -> None:
    """The front was never measured; the reading of the rear is refused its limit."""
    yard.take(unit, "pitch", "front", "OK")
    refused("needs-reading", yard.take, unit, "pitch", "rear", "12 in")
