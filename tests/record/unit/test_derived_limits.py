"""Limits from values read before: a share of two weighings, the difference of a pair."""

from uuid import UUID

import pytest

from prep.actions.perform import perform
from prep.record.procedure.commands import PublishProcedure
from prep.words.reader import ENGLISH
from prep.words.unit.limits import limit_text
from tests.cast import DOCUMENTS, Yard
from tests.refusals import refused

FINISH = "          - line: finish\n"
SOURCE = "source: invented, basis: calculated"
LINES = f"""          - {{line: rear, ask: Rear axle, quantity: mass}}
          - line: front-axle
            ask: Front axle
            quantity: mass
            limit:
              at_least:
                rule: tractor_weight.least_front_mass
                with: {{rear_mass: reading.pitch.rear, least_share: 20 %}}
              unit: lb
              {SOURCE.replace(", ", chr(10) + "              ")}
          - {{line: first, ask: First blade, quantity: mass}}
          - line: second
            ask: Second blade
            quantity: mass
            limit: {{nominal: {{from: reading.pitch.first}}, tolerance: 0.1 lb, {SOURCE}}}
"""


@pytest.fixture
def unit(yard: Yard) -> UUID:
    """A unit with two weighings of a tractor and two of a pair of blades."""
    text = (DOCUMENTS / "procedure.yaml").read_text().replace("revision: 1", "revision: 2", 1)
    perform(PublishProcedure(document=text.replace(FINISH, LINES + FINISH, 1)), actor=yard.otto)
    return yard.started()


@pytest.mark.parametrize(
    ("front", "verdict"),
    [("2000 lb", "conforming"), ("1999 lb", "nonconforming"), ("908 kg", "conforming")],
)
def test_the_front_axle_carries_a_fifth_of_both(
    yard: Yard, unit: UUID, front: str, verdict: str
) -> None:
    """8000 lb behind ask for 2000 lb in front; the limit shows in pounds, as its source prints."""
    refused("needs-reading", yard.take, unit, "pitch", "front-axle", front)
    yard.take(unit, "pitch", "rear", "8000 lb")
    taken = yard.take(unit, "pitch", "front-axle", front).events[0]
    assert taken.verdict == verdict
    assert limit_text(taken.limit, ENGLISH) == "at least 2000 lb"


@pytest.mark.parametrize(
    ("second", "verdict"),
    [
        ("40.1 lb", "conforming"),
        ("39.9 lb", "conforming"),
        ("40.11 lb", "nonconforming"),
        ("39.89 lb", "nonconforming"),
    ],
)
def test_the_blades_of_a_pair_differ_by_no_more_than_a_tenth_of_a_pound(
    yard: Yard, unit: UUID, second: str, verdict: str
) -> None:
    """40 lb, and the other one; the ends belong to the limit."""
    yard.take(unit, "pitch", "first", "40 lb")
    assert yard.take(unit, "pitch", "second", second).events[0].verdict == verdict
