"""A value that others contradict is asked about when it is entered."""

from uuid import UUID

import pytest

from prep.actions.perform import perform
from prep.models import Event
from prep.queries.records import record_of
from prep.record.procedure.commands import PublishProcedure
from prep.record.unit.remark import Contradicts
from prep.record.unit.stands_for import Kind, stands_for
from prep.words.reader import ENGLISH
from prep.words.refusals import refusal_text
from prep.words.unit.remarks import remark_texts
from tests.cast import DOCUMENTS, Yard
from tests.pages.visitor import post, signed_in, step_path
from tests.refusals import refused

FINISH = "          - line: finish\n"
LINES = """          - {line: outer, ask: Outer half, quantity: length}
          - {line: inner, ask: Inner half, quantity: length}
          - {line: span, ask: Seat to seat, quantity: length}
          - line: overlap
            ask: Overlap
            quantity: length
            expects:
              value:
                rule: driveline.overlap
                with:
                  outer: reading.pitch.outer
                  inner: reading.pitch.inner
                  span: reading.pitch.span
              within: 1/2 in
              because: the halves and the distance
"""


@pytest.fixture
def unit(yard: Yard) -> UUID:
    """A unit whose halves of 30 in stand 47.3 in apart: an overlap of 12.7 in follows."""
    text = (DOCUMENTS / "procedure.yaml").read_text().replace("revision: 1", "revision: 2", 1)
    text = text.replace(FINISH, LINES + FINISH, 1)
    perform(PublishProcedure(document=text), actor=yard.otto)
    unit = yard.started()
    yard.take(unit, "pitch", "outer", "30 in")
    yard.take(unit, "pitch", "inner", "30 in")
    return unit


def test_a_contradicted_overlap_is_asked_about_and_kept_with_a_remark_when_confirmed(
    yard: Yard, unit: UUID
) -> None:
    """7 in where 30 + 30 - 47.3 = 12.7 in follow (arithmetic), read as 12 11/16 in on a tape."""
    yard.take(unit, "pitch", "span", "47.3 in")
    before = Event.objects.count()
    no = refused("contradicts", yard.take, unit, "pitch", "overlap", "7 in")
    assert refusal_text(no, ENGLISH) == (
        "You typed 7 in, but the halves and the distance make it 12 11/16 in. Measure again. If "
        "7 in is right, enter it once more and say so; then one of the others is wrong."
    )
    assert Event.objects.count() == before
    taken = yard.take(unit, "pitch", "overlap", "7 in", confirmed=True).events[0]
    assert taken.remarks == (Contradicts("12.6875", "in"),)
    assert remark_texts(taken.remarks, ENGLISH) == (
        "other values make it 12 11/16 in; entered all the same",
    )
    told = [item.kind for item in stands_for(record_of(unit))]
    assert Kind.CONTRADICTS in told


@pytest.mark.parametrize("text", ["12.7 in", "12.2 in", "13.2 in", "322.58 mm"])
def test_a_value_that_agrees_is_entered_at_once(yard: Yard, unit: UUID, text: str) -> None:
    """Half an inch either way, its ends included, in whichever unit."""
    yard.take(unit, "pitch", "span", "47.3 in")
    assert yard.take(unit, "pitch", "overlap", text).events[0].remarks == ()


def test_nothing_is_asked_before_the_others_are_known(yard: Yard, unit: UUID) -> None:
    """The distance is not there yet."""
    assert yard.take(unit, "pitch", "overlap", "7 in").events[0].remarks == ()


def test_the_page_asks_and_offers_to_enter_it_all_the_same(yard: Yard, unit: UUID) -> None:
    """One button more, with what was typed."""
    yard.take(unit, "pitch", "span", "47.3 in")
    ada, path = signed_in(yard.ada), step_path(unit, "pitch")
    asked = post(ada, path, 409, do="reading", box="overlap|", text="7 in")
    assert "the halves and the distance make it 12 11/16 in" in asked
    assert "Enter 7 in all the same" in asked
    post(ada, path, do="reading", box="overlap|", text="7 in", confirmed="yes")
    assert "other values make it 12 11/16 in" in ada.get(path).content.decode()
