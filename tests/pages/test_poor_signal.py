"""What a form says of who typed it and when, as the service takes it."""

from datetime import UTC, datetime, timedelta
from typing import Any
from uuid import uuid4

import pytest

from prep.models import Reading
from tests.cast import PIN, Yard, seen
from tests.pages.visitor import Enter, post, step_path
from tests.refusals import everything


def test_an_entry_that_waited_for_a_signal_keeps_the_moment_it_happened(
    yard: Yard, enter: Enter
) -> None:
    """And says how much later it was entered."""
    happened = datetime.now(UTC).replace(microsecond=0) - timedelta(hours=3)
    unit = yard.started(happened=happened)
    client, path = enter(yard.ada), step_path(unit, "pitch")
    moment = happened.isoformat().replace("+00:00", "Z")
    post(client, path, do="reading", box="front|", text="4 in", happened=moment)
    assert Reading.objects.get().happened == happened
    assert "entered 3 h after it happened" in client.get(path).content.decode()


@pytest.mark.parametrize("moment", ["yesterday", "2026-11-25T10:00:00", "2026-13-45T10:00:00Z"])
def test_a_moment_nobody_can_place_is_refused(yard: Yard, enter: Enter, moment: str) -> None:
    """Without a time zone it could be hours off; nothing is recorded, and what to do is said."""
    unit = yard.started()
    before = everything()
    page = post(
        enter(yard.ada),
        step_path(unit, "pitch"),
        409,
        do="reading",
        box="front|",
        text="4 in",
        happened=moment,
    )
    assert "does not say when this happened. Enter it again; it counts as of now." in page
    assert everything() == before


def test_what_somebody_else_typed_is_never_taken_under_another_name(
    yard: Yard, enter: Enter
) -> None:
    """Ada typed it, Ben is signed in when it arrives: readings, commands and receiving alike."""
    unit = yard.started()
    before = everything()
    ben, typed_by = enter(yard.ben), str(yard.ada.pk)
    forms: dict[str, dict[str, Any]] = {
        step_path(unit, "pitch"): {"do": "reading", "box": "front|", "text": "4 in"},
        f"/units/{unit}/do/unit.hold/": {"reason": "waits for a part"},
        "/receive": {"site": "north", "maker": "Larkfield", "serial": "TC900"},
    }
    for path, fields in forms.items():
        page = post(ben, path, 409, typed_by=typed_by, **fields)
        assert "Somebody else typed this, and Ben Invented is signed in now." in page
    assert everything() == before


def test_what_waited_and_then_arrives_twice_counts_once(yard: Yard, enter: Enter) -> None:
    """The answer to the first was lost on the way; the tablet sends it again, marked as late."""
    unit = yard.started()
    client, path = enter(yard.ada), step_path(unit, "pitch")
    fields: dict[str, Any] = {"do": "reading", "box": "front|", "text": "4 in"}
    fields["command"] = str(uuid4())
    post(client, path, **fields)
    post(client, path, **fields, happened=datetime.now(UTC).isoformat())
    assert Reading.objects.count() == 1


def test_the_second_person_is_offered_the_check_and_the_first_is_told_to_hand_over(
    yard: Yard, enter: Enter
) -> None:
    """On one tablet, by changing the person."""
    unit = yard.started()
    yard.block_deck(unit)
    client, path = enter(yard.ada), step_path(unit, "blades")
    yard.acknowledge(unit, "blades")
    for position in ("left", "right"):
        box = f"torque|{position}"
        post(client, path, do="reading", box=box, text="450 ft lb", instrument="W-1")
    post(client, path, do="sign", seen=seen(unit, "blades"), pin=PIN)
    page = client.get(path).content.decode()
    assert "Hand the tablet over and press “Switch user”" in page
    assert "Sign: second person checked" not in page
    assert "Sign: second person checked" in enter(yard.ben).get(path).content.decode()


def test_nobody_who_has_not_chosen_is_offered_an_instrument(yard: Yard, enter: Enter) -> None:
    """Else the first of the list went into the record unread; once chosen, it stays."""
    unit = yard.started()
    yard.block_deck(unit)
    yard.acknowledge(unit, "blades")
    client, path = enter(yard.ada), step_path(unit, "blades")
    assert 'value="W-1" selected' not in client.get(path).content.decode()
    post(client, path, do="reading", box="torque|left", text="450 ft lb", instrument="W-1")
    page = client.get(path).content.decode()
    assert page.count('value="W-1" selected') == 2
    assert "calibration OVERDUE since 10 Jan 2025" in page


def test_a_unit_on_hold_opens_no_box(yard: Yard, enter: Enter) -> None:
    """The reason stands where the boxes were."""
    unit = yard.started()
    client = enter(yard.ada)
    post(client, f"/units/{unit}/do/unit.hold/", reason="Waits for the maker.")
    page = client.get(step_path(unit, "pitch")).content.decode()
    assert "On hold: Waits for the maker." in page
    assert 'name="text"' not in page
