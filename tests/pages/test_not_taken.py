"""Entries that were not taken, on the pages of the unit and the yard, and settling them."""

from collections.abc import Mapping
from datetime import timedelta
from typing import Any
from uuid import UUID, uuid4

from django.utils import timezone

from prep.actions.batches.batch import Device, Sent
from prep.actions.batches.carry_out import carry_out
from prep.actions.batches.refused_commands import refused_id
from prep.actions.perform import perform
from prep.actions.submission import Submission
from prep.models import Event
from prep.record.unit.commands.entries import TakeReading
from tests.cast import Yard
from tests.pages.visitor import Enter, post, step_path
from tests.refusals import everything

HEADING = "Entries that were not taken"
APPLES = {"command": "reading.take", "step": "pitch", "line": "front", "text": "4 <apples>"}


def not_taken(yard: Yard, unit: UUID | None, values: Mapping[str, Any], author: str = "") -> UUID:
    """What Ada's tablet sends and the record does not take; its id."""
    target = str(unit) if unit else None
    command = Sent(uuid4(), values, timezone.now(), target, author=author)
    list(carry_out([command], person=yard.ada, device=Device("Tablet 2", 0)))
    return refused_id(command.id, yard.ada)


def test_the_units_page_shows_what_was_typed_by_whom_and_why_it_was_not_taken(
    yard: Yard, enter: Enter
) -> None:
    """Until a service manager settles it, with a reason."""
    unit = yard.started()
    kept = not_taken(yard, unit, APPLES, yard.ben.username)
    mira = enter(yard.mira)
    page = mira.get(f"/units/{unit}/").content.decode()
    assert HEADING in page
    assert "4 &lt;apples&gt;" in page
    assert "Front tip height" in page
    assert "Ada Invented, named Ben Invented" in page
    assert f"/refused/{kept}/" in page
    form = mira.get(f"/refused/{kept}/").content.decode()
    assert "Enter it again first, if it still has to be in the record." in form
    post(mira, f"/refused/{kept}/", reason="Measured again at the machine")
    page = mira.get(f"/units/{unit}/").content.decode()
    assert HEADING not in page
    settled = mira.get(f"/refused/{kept}/").content.decode()
    assert "Settled by Mira Invented" in settled
    assert "Measured again at the machine" in settled


def test_settling_asks_for_a_reason_and_for_somebody_whose_it_is(yard: Yard, enter: Enter) -> None:
    """What is missing or who to ask is said on the same page, and nothing is recorded."""
    unit = yard.started()
    kept = not_taken(yard, unit, APPLES)
    before = everything()
    page = post(enter(yard.mira), f"/refused/{kept}/", status=409, reason=" ")
    assert "Fill in “Reason”." in page
    page = post(enter(yard.sol), f"/refused/{kept}/", status=409, reason="Looked into")
    assert "Only a service manager, or whoever made or sent this entry, can settle it." in page
    assert enter(yard.outsider).get(f"/refused/{kept}/").status_code == 404
    assert everything() == before


def test_a_unit_that_could_not_be_received_is_on_the_yards_page(yard: Yard, enter: Enter) -> None:
    """It has no page of its own."""
    receive = {"command": "unit.receive", "site": yard.site, "maker": "Larkfield", "serial": " 7"}
    kept = not_taken(yard, None, receive)
    ada = enter(yard.ada)
    page = ada.get("/").content.decode()
    assert HEADING in page
    assert "Larkfield" in page
    post(ada, f"/refused/{kept}/", reason="Received at the desk")
    assert HEADING not in ada.get("/").content.decode()


def test_an_entry_sent_for_somebody_says_so_until_they_sign(yard: Yard, enter: Enter) -> None:
    """On the step's page and in the history."""
    unit = yard.started()
    reading = TakeReading(step="pitch", line="front", text="4 in")
    sent = Submission(author=yard.ben.username)
    perform(reading, actor=yard.ada, target=unit, submission=sent)
    yard.take(unit, "pitch", "finish", "good")
    ben = enter(yard.ben)
    page = ben.get(step_path(unit, "pitch")).content.decode()
    assert "Ada Invented, named Ben Invented" in page
    yard.sign(unit, "pitch", yard.ben)
    assert "named Ben" not in ben.get(step_path(unit, "pitch")).content.decode()
    assert "Ada Invented, named Ben Invented" in ben.get(f"/units/{unit}/").content.decode()


def test_a_form_that_waited_on_a_tablet_whose_clock_is_off_is_dated_right(
    yard: Yard, enter: Enter
) -> None:
    """The page sends the tablet's time with it, half an hour ahead."""
    unit = yard.started()
    ahead = timedelta(minutes=30)
    now = timezone.now()
    by_tablet = (now + ahead).isoformat()
    post(
        enter(yard.ada),
        step_path(unit, "pitch"),
        do="reading",
        box="front|",
        text="4 in",
        happened=by_tablet,
        clock=by_tablet,
    )
    event = Event.objects.get(kind="reading.taken")
    assert event.happened <= event.recorded
    assert abs((event.happened - now).total_seconds()) < 3
    assert event.drift is not None
    assert abs(event.drift + 1800) <= 2
