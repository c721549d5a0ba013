"""Of many fasteners or places the lowest and the highest are read, each held to both ends."""

from uuid import UUID

import pytest

from prep.actions.perform import perform
from prep.models import Event
from prep.queries.records import record_of
from prep.record.procedure.commands import PublishProcedure
from prep.record.unit.sheet import Status, open_boxes, statuses
from prep.words.reader import ENGLISH
from prep.words.refusals import refusal_text
from tests.cast import DOCUMENTS, Yard
from tests.pages.visitor import signed_in, step_path
from tests.refusals import refused

FINISH = "          - line: finish\n"
LINE = """          - {line: bolts, ask: Six bolts, quantity: torque,
             extremes: {lowest: lowest bolt, highest: highest bolt},
             limit: {at_least: 425 ft·lbf, at_most: 475 ft·lbf, source: x, basis: calculated}}
"""


@pytest.fixture
def unit(yard: Yard) -> UUID:
    """A unit whose third step asks for the lowest and the highest of six bolts."""
    text = (DOCUMENTS / "procedure.yaml").read_text().replace("revision: 1", "revision: 2", 1)
    perform(PublishProcedure(document=text.replace(FINISH, LINE + FINISH, 1)), actor=yard.otto)
    return yard.started()


def test_each_is_judged_against_both_ends(yard: Yard, unit: UUID) -> None:
    """A highest within the lower end does not stand for one past the upper end."""
    low = yard.take(unit, "pitch", "bolts", "430 ft lb", position="lowest bolt").events[0]
    high = yard.take(unit, "pitch", "bolts", "480 ft lb", position="highest bolt").events[0]
    assert (low.verdict, high.verdict) == ("conforming", "nonconforming")
    assert (low.limit.low, low.limit.high) == (high.limit.low, high.limit.high)
    assert statuses(record_of(unit))["pitch"] is Status.FLAGGED


def test_one_alone_leaves_the_step_open(yard: Yard, unit: UUID) -> None:
    """The step waits for the other."""
    yard.take(unit, "pitch", "bolts", "430 ft lb", position="lowest bolt")
    record = record_of(unit)
    assert record.procedure is not None
    step = record.procedure.steps["pitch"]
    assert ("bolts", "highest bolt") in open_boxes(record, step)
    assert ("bolts", "lowest bolt") not in open_boxes(record, step)


@pytest.mark.parametrize(
    ("first", "second"), [("lowest bolt", "highest bolt"), ("highest bolt", "lowest bolt")]
)
def test_a_highest_below_the_lowest_is_refused(
    yard: Yard, unit: UUID, first: str, second: str
) -> None:
    """In whichever order and units they are typed; nothing is entered."""
    texts = {"lowest bolt": "450 ft lb", "highest bolt": "600 N·m"}  # 442.5 ft·lbf
    yard.take(unit, "pitch", "bolts", texts[first], position=first)
    before = Event.objects.count()
    no = refused(
        "extremes-crossed", yard.take, unit, "pitch", "bolts", texts[second], position=second
    )
    assert refusal_text(no, ENGLISH) == (
        "The highest, 600 N·m, is below the lowest, 450 ft·lbf. Measure again. If this one is "
        f"right, correct “{first}” first."
    )
    assert Event.objects.count() == before
    yard.take(unit, "pitch", "bolts", texts[first], position=second)  # equal is no contradiction


def test_the_page_has_a_box_for_each(yard: Yard, unit: UUID) -> None:
    """Under the names that the procedure gives them."""
    page = signed_in(yard.ada).get(step_path(unit, "pitch")).content.decode()
    assert "lowest bolt" in page
    assert "highest bolt" in page
