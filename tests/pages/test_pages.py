"""The pages, as the people who use them meet them."""

import re
from typing import Any
from uuid import uuid4
from zoneinfo import ZoneInfo

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from prep.actions.perform import perform
from prep.models import Event, Reading, Unit
from prep.queries.records import record_of
from prep.record.procedure.commands import PublishProcedure
from tests.cast import DOCUMENTS, PIN, Yard, seen
from tests.pages.visitor import Enter, post, step_path


@pytest.mark.parametrize("path", ["/", "/receive", "/rules/", "/audit/"])
def test_nobody_looks_without_signing_in(yard: Yard, path: str) -> None:
    """Everything but verification and the health check asks who it is."""
    answer = Client().get(path)
    assert (answer.status_code, answer["Location"].split("?")[0]) == (302, "/sign-in")


def test_the_yard_says_what_is_ready_and_what_stops_the_rest(yard: Yard, enter: Enter) -> None:
    """In plain words, with the count of further reasons, in few statements."""
    yard.prepared()
    yard.started()
    client = enter(yard.sol)
    with CaptureQueriesContext(
        connection,
    ) as counted:
        page = client.get("/").content.decode()
    assert len(counted) <= 11
    assert "ready for stock" in page
    assert "Block the deck: to do." in page
    assert "And 2 more." in page
    assert "Receive a unit" not in page  # sales does not


def test_another_yards_people_find_no_such_page(yard: Yard, enter: Enter) -> None:
    """Neither the unit nor its steps nor its forms."""
    unit = yard.started()
    client = enter(yard.outsider)
    for path in (f"/units/{unit}/", step_path(unit, "pitch"), f"/units/{unit}/do/unit.hold/"):
        assert client.get(path).status_code == 404


def test_cautions_come_before_anything_can_be_entered(yard: Yard, enter: Enter) -> None:
    """One big button; then the boxes open."""
    unit = yard.started()
    client = enter(yard.ada)
    page = client.get(step_path(unit, "block")).content.decode()
    assert "A raised deck falls." in page
    assert 'name="answer"' not in page
    post(client, step_path(unit, "block"), do="acknowledge")
    assert 'name="answer"' in client.get(step_path(unit, "block")).content.decode()


def test_a_technician_does_a_step_from_caution_to_signature(yard: Yard, enter: Enter) -> None:
    """By the page alone, the second person too."""
    unit = yard.started()
    yard.block_deck(unit)
    client, path = enter(yard.ada), step_path(unit, "blades")
    post(client, path, do="acknowledge")
    for position in ("left", "right"):
        box = f"torque|{position}"
        post(client, path, do="reading", box=box, text="450 ft lb", instrument="W-1")
    post(client, path, do="sign", seen=seen(unit, "blades"), pin=PIN)
    post(enter(yard.ben), path, do="second", seen=seen(unit, "blades"), pin=PIN)
    assert "second person checked" in client.get(path).content.decode()
    with CaptureQueriesContext(connection) as counted:
        client.get(path)
    assert len(counted) <= 14


def test_an_ambiguous_entry_comes_back_as_buttons(yard: Yard, enter: Enter) -> None:
    """What was typed is kept, nothing is recorded, and each button is an entry."""
    unit = yard.started()
    client, path = enter(yard.ada), step_path(unit, "pitch")
    page = post(client, path, 409, do="reading", box="front|", text="110")
    assert 'value="110 mm"' in page
    assert 'value="110"' in page
    assert not Reading.objects.exists()
    post(client, path, do="reading", box="front|", text="110 mm")
    assert Reading.objects.get().canonical == "110"


def test_a_value_outside_shows_its_flag_and_a_drawing(yard: Yard, enter: Enter) -> None:
    """Verdict in words, the limit, and where the reading lies."""
    unit = yard.started()
    client, path = enter(yard.ada), step_path(unit, "pitch")
    post(client, path, do="reading", box="front|", text="7 in")
    page = client.get(path).content.decode()
    assert "7 in is out of limit (nonconforming). The limit is 3 in to 6 in." in page
    assert "<svg" in page


def test_a_reading_in_another_unit_stands_in_its_limits(yard: Yard, enter: Enter) -> None:
    """Then as it was typed."""
    unit = yard.started()
    client, path = enter(yard.ada), step_path(unit, "pitch")
    post(client, path, do="reading", box="front|", text="101.6 mm")
    page = " ".join(client.get(path).content.decode().split())
    assert "<b>4 in</b> typed: 101.6 mm" in page


def test_a_double_tap_counts_once(yard: Yard, enter: Enter) -> None:
    """The form carries the command's id."""
    unit = yard.started()
    client, path, command = enter(yard.ada), step_path(unit, "pitch"), str(uuid4())
    for _ in range(2):
        post(client, path, do="reading", box="front|", text="4 in", command=command)
    assert Reading.objects.count() == 1


@pytest.mark.parametrize("who", ["sol", "rhea"])
def test_who_does_not_work_here_is_offered_nothing_and_refused(
    yard: Yard, enter: Enter, who: str
) -> None:
    """Sales and auditors look; a form sent all the same changes nothing."""
    unit = yard.started()
    client, path = enter(getattr(yard, who)), step_path(unit, "pitch")
    assert 'name="text"' not in client.get(path).content.decode()
    before = Event.objects.count()
    page = post(client, path, 409, do="reading", box="front|", text="4 in")
    assert "Only a service manager or a technician may do this." in page
    assert Event.objects.count() == before


def test_a_release_that_is_not_due_lists_every_reason(yard: Yard, enter: Enter) -> None:
    """Each reason leads to its step; there is nothing to sign until the last one is gone."""
    unit = yard.started()
    client, path = enter(yard.mira), f"/units/{unit}/do/unit.release/"
    shown = client.get(path).content.decode()
    assert shown.count(f"/units/{unit}/steps/") >= 3
    assert "By signing, you release this unit" not in shown
    assert 'name="pin"' not in shown
    page = post(client, path, 409, seen="0" * 64, pin=PIN)
    assert page.count(f"/units/{unit}/steps/") >= 3
    assert "Not ready for release. Still needed: Block the deck: to do." in page


def test_the_forms_carry_a_unit_to_its_buyer(yard: Yard, enter: Enter) -> None:
    """Buyer, release, handover, by the pages."""
    unit = yard.prepared()
    sales, manager = enter(yard.sol), enter(yard.mira)
    post(
        sales,
        f"/units/{unit}/do/buyer.assign/",
        site="north",
        name="Fen Farm (invented)",
        tractor="T-90",
    )
    yard.match_tractor(unit)
    path = f"/units/{unit}/do/unit.release/"
    form = manager.get(path).content.decode()
    assert "By signing, you release this unit for delivery under your name" in form
    digest = form.split('name="seen" value="')[1][:64]
    post(manager, path, seen=digest, pin=PIN)
    assert f"/units/{unit}/do/unit.release/" not in manager.get(f"/units/{unit}/").content.decode()
    page = sales.get(f"/units/{unit}/do/unit.hand-over/").content.decode()
    assert "grease points and oil levels" in page
    topics = re.findall(r'name="shown"\s+value="([^"]*)"', page)
    post(
        sales,
        f"/units/{unit}/do/unit.hand-over/",
        recipient="Wes Fen (invented)",
        relation="owner",
        language="English",
        first_use="rental",
        shown=topics,
        manual_given="on",
        pin=PIN,
    )
    assert Unit.objects.get(pk=unit).state == "handed-over"
    handover = record_of(unit).handover
    assert handover is not None
    assert handover[0].first_use == "rental"


def test_receiving_asks_to_compare_look_alike_plates(yard: Yard, enter: Enter) -> None:
    """What was typed stays in the form; a tick says the plates were compared."""
    yard.receive("TC100")
    client = enter(yard.ada)
    form: dict[str, Any] = {
        "site": "north",
        "maker": "Larkfield",
        "serial": "TCIOO",
        "model": "TC-12",
    }
    page = post(client, "/receive", 409, **form)
    assert "I compared the plates with TC100" in page
    assert 'value="TCIOO"' in page
    post(client, "/receive", **form, checked_against="TC100")
    assert Unit.objects.filter(serial="TCIOO").exists()


def test_hostile_text_is_text(yard: Yard, enter: Enter) -> None:
    """Markup typed into a note is shown, not run."""
    unit = yard.receive(place="<script>alert(1)</script>")
    page = enter(yard.ada).get(f"/units/{unit}/").content.decode()
    assert "<script>alert(1)" not in page
    assert "&lt;script&gt;alert(1)" in page


def test_the_unit_page_tells_the_history_in_sentences_and_as_of(yard: Yard, enter: Enter) -> None:
    """Every kind of event has a sentence; a moment before it, it is not there yet."""
    unit = yard.started()
    yard.take(unit, "pitch", "front", "4 in")
    client = enter(yard.rhea)
    path = f"/units/{unit}/"
    assert "“4 in”, in limit (conforming)." in client.get(path).content.decode()
    first = Event.objects.filter(stream_id=str(unit)).order_by("version")[0]
    earlier = client.get(path, {"known_at": first.recorded.isoformat()}).content.decode()
    assert "Received; serial number" in earlier
    assert "“4 in”" not in earlier


def test_a_rule_is_worked_out_with_formula_and_source(yard: Yard, enter: Enter) -> None:
    """72 in at 800 rpm: 15 080 ft/min, arithmetic of the reference's worked example."""
    client = enter(yard.ada)
    page = client.get("/rules/blades.tip_speed/", {"tip_circle": "72 in", "speed": "800 rpm"})
    assert "15080 ft/min" in page.content.decode()
    assert client.get("/rules/").status_code == 200
    refused = client.get("/rules/blades.tip_speed/", {"tip_circle": "72", "speed": "800 rpm"})
    assert refused.status_code == 409


def test_the_auditor_sees_what_was_replaced_and_what_a_wrench_decided(
    yard: Yard, enter: Enter
) -> None:
    """Earlier values stay visible, with who and when."""
    unit = yard.prepared()
    page = enter(yard.rhea).get("/audit/", {"instrument": "W-1"}).content.decode()
    assert page.count("450 ft lb") == 2
    assert page.count("<td>Torque the blade bolts, ") == 2
    assert str(unit) in page


def test_moments_are_told_and_asked_for_in_the_yards_clock_time(yard: Yard, enter: Enter) -> None:
    """The yard keeps Chicago's time, UTC - 5 h or - 6 h; a moment typed means that clock."""
    unit = yard.started()
    yard.take(unit, "pitch", "front", "4 in")
    first = Event.objects.filter(stream_id=str(unit)).order_by("version")[0]
    local = first.recorded.astimezone(ZoneInfo("America/Chicago"))
    client, path = enter(yard.rhea), f"/units/{unit}/"
    earlier = client.get(
        path, {"known_at": local.replace(tzinfo=None).isoformat()}
    ).content.decode()
    assert f"As the records stood on {local:%-d %B %Y, %H:%M} ({local:%Z}, " in earlier
    assert "Received; serial number" in earlier
    assert "“4 in”" not in earlier
    answer = client.get(path, {"known_at": first.recorded.replace(year=1999).isoformat()})
    assert "or that is not a valid date and time" in answer.content.decode()


def test_an_answer_is_in_words_and_not_in_the_programs_own(yard: Yard, enter: Enter) -> None:
    """No, not False; the shafts that differ as a sentence; nothing named None."""
    asked = "tractor_splines=6&tractor_speed=540+rpm&machine_splines=21&machine_speed=1000+rpm"
    answer = enter(yard.ada).get(f"/rules/pto.match/?{asked}").content.decode()
    page = " ".join(answer.split())
    assert "<dt>Matches</dt> <dd>no</dd>" in page
    assert (
        "<dd>splines: tractor 6, machine 21; speed: tractor 540 rpm, machine 1000 rpm</dd>" in page
    )
    assert "<dt>Tractor speed</dt> <dd>540 rpm = 9 1/s</dd>" in page
    assert "False" not in page


def test_a_sheet_moves_by_a_form_that_lists_the_other_revisions(yard: Yard, enter: Enter) -> None:
    """The manager picks a published revision; nobody types its number from memory."""
    unit = yard.started()
    text = (DOCUMENTS / "procedure.yaml").read_text().replace("revision: 1", "revision: 2", 1)
    perform(PublishProcedure(document=text), actor=yard.otto)
    manager, path = enter(yard.mira), f"/units/{unit}/do/sheet.move/"
    page = manager.get(path).content.decode()
    assert '<option value="2"' in page
    assert '<option value="1"' not in page
    post(manager, path, procedure="TC-SETUP", revision="2", reason="New manual (invented)")
    procedure = record_of(unit).procedure
    assert procedure is not None
    assert procedure.revision == 2
