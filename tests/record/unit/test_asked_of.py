"""Lines say for whom they are: every unit, the first of a shipment, a suspected fault."""

from uuid import UUID

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


def test_a_step_is_signed_without_what_is_not_asked_of_this_unit(yard: Yard) -> None:
    """Neither the first of its shipment nor under suspicion."""
    unit = started(yard)
    yard.level(unit)
    assert statuses(record_of(unit))["pitch"] is Status.DONE


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
    assert "(first unit of a shipment only)" in page
    assert "Suspected: Shakes at full speed" in " ".join(page.split())
