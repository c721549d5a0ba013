"""Lines say for whom they are: every unit, the first of a shipment, a suspected fault."""

from datetime import timedelta
from uuid import UUID

from django.utils import timezone

from prep.actions.perform import perform
from prep.queries.records import record_of
from prep.record.procedure.commands import PublishProcedure
from prep.record.unit.sheet import Status, open_boxes, statuses
from prep.words.reader import ENGLISH
from prep.words.unit.history import event_text
from tests.cast import DOCUMENTS, Yard
from tests.pages.visitor import signed_in, step_path
from tests.refusals import refused

FINISH = "          - line: finish\n"
LINES = """          - {line: play, ask: Hub play, quantity: length, asked_of: first-of-shipment,
             limit: {at_most: 0.01 in, source: invented, basis: calculated}}
          - {line: runout, ask: Run-out, quantity: length, asked_of: suspected-fault}
"""


def started(yard: Yard) -> UUID:
    """A unit whose third step has two lines that may stay empty."""
    text = (DOCUMENTS / "procedure.yaml").read_text().replace("revision: 1", "revision: 2", 1)
    perform(PublishProcedure(document=text.replace(FINISH, LINES + FINISH, 1)), actor=yard.otto)
    return yard.started()


def test_the_first_of_a_shipment_alone_answers_for_it(yard: Yard) -> None:
    """The second of its model on that day may stay empty there; a suspicion neither has."""
    first = started(yard)
    yard.take(first, "pitch", "front", "4 in")
    yard.take(first, "pitch", "finish", "good")
    record = record_of(first)
    assert record.procedure is not None
    assert open_boxes(record, record.procedure.steps["pitch"]) == [("play", "")]
    second = yard.started(serial="RC7-550")
    yard.level(second)
    assert statuses(record_of(second))["pitch"] is Status.DONE
    assert [record_of(one).first_of_shipment for one in (first, second)] == [True, False]
    page = signed_in(yard.ada).get(step_path(second, "pitch")).content.decode()
    assert "first unit of a shipment only: this is not the first" in page


def test_another_day_of_the_yard_is_another_shipment(yard: Yard) -> None:
    """Received two days ago and today: each is the first of its own day."""
    now = timezone.now()
    moments = (now - timedelta(days=2), now, now)
    units = [
        yard.receive(serial, happened=moment)
        for serial, moment in zip(("RC8-801", "RC8-927", "RC8-645"), moments, strict=True)
    ]
    assert [record_of(unit).first_of_shipment for unit in units] == [True, True, False]


def test_what_was_answered_counts_like_any_other_line(yard: Yard) -> None:
    """Play past its limit on the first of a shipment keeps the step open."""
    unit = started(yard)
    taken = yard.take(unit, "pitch", "play", "0.02 in").events[0]
    yard.take(unit, "pitch", "front", "4 in")
    yard.take(unit, "pitch", "finish", "good")
    record = record_of(unit)
    assert record.procedure is not None
    assert open_boxes(record, record.procedure.steps["pitch"]) == [("play", "")]
    assert statuses(record)["pitch"] is Status.FLAGGED
    yard.take(unit, "pitch", "play", "0.01 in", supersedes=taken.reading, reason="Nut taken up")
    yard.sign(unit, "pitch")


def test_a_suspicion_is_said(yard: Yard) -> None:
    """Without one the entry is refused; with one it is kept, and is no correction."""
    unit = started(yard)
    refused("suspicion-missing", yard.take, unit, "pitch", "runout", "0.02 in")
    why = {"reason": "Shakes at full speed"}
    taken = yard.take(unit, "pitch", "runout", "0.02 in", **why).events[0]
    assert taken.reason == "Shakes at full speed"
    assert event_text(taken, record_of(unit), ENGLISH) == "Run-out: “0.02 in”, no limit."
    page = signed_in(yard.ada).get(step_path(unit, "pitch")).content.decode()
    assert "(on a suspected fault only)" in page
    assert "(first unit of a shipment only: this is the first)" in page
    assert "Suspected: Shakes at full speed" in " ".join(page.split())
