"""Poor signal, shared tablet, real browser: nothing lost, nothing twice, no wrong name."""

import json
from collections.abc import Iterator
from datetime import datetime
from typing import Any
from uuid import UUID

import pytest
from django.test import RequestFactory
from playwright.sync_api import Browser, Route

from prep.models import Reading
from prep.pages.outages import page_instead
from prep.record.refusal import Refusal
from tests.cast import PIN, Yard
from tests.pages.browser import CHROMIUM, Visit, visiting

pytestmark = [
    pytest.mark.browser,
    pytest.mark.skipif(not CHROMIUM.exists(), reason="needs Chromium at /usr/bin/chromium"),
]
FRONT = "Front tip"


@pytest.fixture
def tablet(browser: Browser, live_server: Any, yard: Yard) -> Iterator[Visit]:
    """The yard's tablet, with Ada signed in."""
    with visiting(browser, live_server.url) as visit:
        visit.sign_in(yard.ada)
        yield visit


def kept(tablet: Visit) -> list[dict[str, Any]]:
    """What waits on the tablet."""
    text = tablet.page.evaluate("localStorage.getItem('yardproof.waiting') || '[]'")
    found: list[dict[str, Any]] = json.loads(text)
    return found


def moment(entry: dict[str, Any]) -> datetime:
    """When an entry that waits was typed."""
    return datetime.fromisoformat(dict(entry["fields"])["happened"])


def unreachable(route: Route) -> None:
    """A network that is there, and a service that is not."""
    if route.request.method == "POST":
        route.abort("connectionfailed")
    else:
        route.fallback()


def started(tablet: Visit, yard: Yard) -> UUID:
    """A unit in preparation, its third step open on the tablet."""
    unit = yard.started()
    tablet.step(unit, "pitch")
    return unit


def test_what_is_entered_without_a_signal_waits_and_carries_its_moment(
    tablet: Visit, yard: Yard
) -> None:
    """Two boxes; the page stays; on the signal's return both are sent, in order, once."""
    started(tablet, yard)
    tablet.page.context.set_offline(True)
    tablet.enter(FRONT, "4 in")
    tablet.sees("1 entry waiting. It will be sent when the signal is back.")
    tablet.box("Paint").get_by_label("Choice").select_option("good")
    tablet.box("Paint").get_by_role("button", name="Enter").click()
    tablet.sees("2 entries waiting. They will be sent when the signal is back.")
    tablet.sees("Waiting to be sent: 4 in")
    assert not Reading.objects.exists()
    tablet.page.get_by_role("link", name="All steps").click()
    tablet.sees("No signal: that page cannot be opened now.")
    tablet.is_fit()
    typed = [moment(entry) for entry in kept(tablet)]
    tablet.page.context.set_offline(False)
    tablet.sees("ready to sign")
    readings = Reading.objects.order_by("happened")
    assert [(r.raw, r.person_name, r.happened) for r in readings] == [
        ("4 in", "Ada Invented", typed[0]),
        ("good", "Ada Invented", typed[1]),
    ]
    assert kept(tablet) == []
    assert tablet.page.locator("#waiting").inner_text() == ""
    tablet.is_fit()


def test_a_service_that_is_away_keeps_the_entry_and_says_what_a_signature_met(
    tablet: Visit, yard: Yard
) -> None:
    """An entry waits and is sent by itself; a signature is told why, and waits nowhere."""
    unit = yard.started()
    yard.take(unit, "pitch", "finish", "good")
    tablet.step(unit, "pitch")
    full = page_instead(RequestFactory().post("/"), Refusal("disk-full", seconds=30))

    def away(route: Route) -> None:
        if route.request.method == "POST":
            route.fulfill(status=503, body=full.content, content_type="text/html")
        else:
            route.fallback()

    tablet.page.route("**/steps/**", away)
    tablet.enter(FRONT, "4 in")
    tablet.sees("1 entry waiting")
    assert len(kept(tablet)) == 1
    tablet.page.unroute("**/steps/**")
    tablet.press("Send now")
    tablet.sees("ready to sign")
    assert Reading.objects.filter(line="front").count() == 1
    tablet.page.route("**/steps/**", away)
    tablet.sign("Sign: prepared")
    tablet.sees("The service's disk is full. Nothing was recorded")
    assert kept(tablet) == []
    tablet.page.unroute("**/steps/**")


def test_a_service_out_of_reach_counts_as_no_signal_and_a_lost_answer_counts_once(
    tablet: Visit, yard: Yard
) -> None:
    """The network is there. First nothing arrives; then it arrives and the answer is lost."""
    started(tablet, yard)
    tablet.page.route("**/steps/**", unreachable)
    tablet.enter(FRONT, "4 in")
    tablet.sees("1 entry waiting")
    tablet.page.unroute("**/steps/**")

    def answer_lost(route: Route) -> None:
        route.fetch(max_redirects=0)
        route.abort("connectionfailed")

    tablet.page.route("**/steps/**", answer_lost, times=1)
    with tablet.page.expect_event("requestfailed"):
        tablet.press("Send now")
    assert Reading.objects.count() == 1
    tablet.press("Send now")
    tablet.sees("conforming")
    assert Reading.objects.count() == 1
    assert kept(tablet) == []


def test_a_second_tap_sends_nothing(tablet: Visit, yard: Yard) -> None:
    """The first is still on its way."""
    started(tablet, yard)
    sent = []
    tablet.page.on("request", lambda r: sent.append(r) if r.method == "POST" else None)
    tablet.box(FRONT).get_by_label("Reading").fill("4 in")
    tablet.box(FRONT).get_by_role("button", name="Enter").dblclick()
    tablet.sees("conforming")
    assert len(sent) == 1
    assert Reading.objects.count() == 1


def test_an_entry_that_was_not_clear_comes_back_with_the_question(
    tablet: Visit, yard: Yard
) -> None:
    """Nothing is thrown away; taken back unchanged, it still happened when it was typed."""
    started(tablet, yard)
    tablet.page.context.set_offline(True)
    tablet.enter(FRONT, "110")
    tablet.sees("1 entry waiting")
    (typed,) = [moment(entry) for entry in kept(tablet)]
    tablet.page.context.set_offline(False)
    tablet.sees("Rejected: 110. “110” in which unit?")
    tablet.is_fit()
    tablet.press("Undo")
    tablet.box(FRONT).get_by_role("button", name="Enter").click()
    tablet.press("110 mm")
    tablet.sees("conforming")
    reading = Reading.objects.get()
    assert (reading.raw, reading.happened) == ("110 mm", typed)
    assert kept(tablet) == []


def test_what_waits_is_never_sent_under_another_name(tablet: Visit, yard: Yard) -> None:
    """Changing the person warns; Ben sends nothing of Ada's; when Ada is back, hers is sent."""
    unit = started(tablet, yard)
    tablet.page.context.set_offline(True)
    tablet.press("Switch user")
    tablet.sees("You cannot switch users without a signal.")
    tablet.page.context.set_offline(False)
    tablet.page.route("**/steps/**", unreachable)
    tablet.enter(FRONT, "4 in")
    tablet.sees("1 entry waiting")
    tablet.press("Switch user")
    tablet.sees("1 of your entries is not sent yet.")
    tablet.is_fit()
    tablet.page.get_by_role("button", name="Stay signed in").click()
    tablet.press("Switch user")
    tablet.press("Switch user anyway")
    tablet.sees("1 entry by Ada Invented is waiting on this tablet")
    tablet.page.unroute("**/steps/**")
    tablet.sign_in(yard.ben)
    tablet.step(unit, "pitch")
    tablet.sees("sent when Ada Invented signs in here")
    assert tablet.page.get_by_role("button", name="Send now").count() == 0
    assert not Reading.objects.exists()
    tablet.enter(FRONT, "5 in")
    tablet.sees("conforming")
    tablet.press("Switch user")
    tablet.sign_in(yard.ada)
    tablet.sees("Rejected:")  # Ben's stands in the box: a person decides, and nothing is lost
    assert [(r.raw, r.person_name) for r in Reading.objects.all()] == [("5 in", "Ben Invented")]
    tablet.press("Delete")
    assert len(kept(tablet)) == 1
    tablet.press("Press again to delete")
    assert kept(tablet) == []


def test_another_person_in_another_tab_does_not_lend_a_name(tablet: Visit, yard: Yard) -> None:
    """Ada's page is still open when Ben signs in beside it: hers waits, and is not Ben's."""
    started(tablet, yard)
    beside = Visit(tablet.page.context.new_page(), tablet.address)
    beside.go("/")
    beside.press("Switch user")
    beside.sign_in(yard.ben)
    tablet.enter(FRONT, "4 in")
    tablet.page.wait_for_url("**/")  # Ben is signed in, so the sign-in page leads to his yard
    tablet.sees("1 entry by Ada Invented")
    assert not Reading.objects.exists()
    assert [entry["name"] for entry in kept(tablet)] == ["Ada Invented"]


def test_what_was_typed_survives_the_page_but_a_pin_is_kept_nowhere(
    tablet: Visit, yard: Yard
) -> None:
    """A page loaded anew has what Ada typed, for Ada alone."""
    unit = yard.started()
    yard.level(unit)
    tablet.go(f"/units/{unit}/do/flag.raise/")
    tablet.page.get_by_label("What is wrong").fill("Paint scratched, left wing")
    tablet.step(unit, "block")
    tablet.press("I have read and will follow")
    tablet.page.get_by_role("button", name="Yes").click()
    tablet.page.get_by_label("Your PIN").fill(PIN)
    stores = "JSON.stringify([{...localStorage}, {...sessionStorage}])"
    stored = tablet.page.evaluate(stores)
    assert "Paint scratched" in stored
    assert PIN not in stored
    tablet.go(f"/units/{unit}/do/flag.raise/")
    tablet.sees("Typed earlier, not sent yet.")
    assert tablet.page.get_by_label("What is wrong").input_value() == "Paint scratched, left wing"
    tablet.press("Switch user")
    tablet.sign_in(yard.ben)
    tablet.go(f"/units/{unit}/do/flag.raise/")
    assert tablet.page.get_by_label("What is wrong").input_value() == ""


def test_a_signature_is_not_kept_for_later(tablet: Visit, yard: Yard) -> None:
    """Signing is for a moment and a content shown: without a signal it says so and stays."""
    unit = yard.started()
    yard.take(unit, "pitch", "front", "4 in")
    yard.take(unit, "pitch", "finish", "good")
    tablet.step(unit, "pitch")
    tablet.page.context.set_offline(True)
    tablet.sign("Sign: prepared")
    tablet.sees("Not sent: no signal. What you typed is still here")
    assert kept(tablet) == []
    tablet.page.context.set_offline(False)
    tablet.press("Sign: prepared")
    tablet.sees("prepared: Ada Invented")


def test_a_poor_signal_is_explained_in_the_persons_language(tablet: Visit, yard: Yard) -> None:
    """And in English where the texts of the scripts did not come through."""
    unit = started(tablet, yard)
    tablet.page.locator("summary").filter(has_text="Ada Invented").click()
    tablet.is_fit()
    with tablet.page.expect_navigation():
        tablet.press("Français")
    tablet.page.context.set_offline(True)
    tablet.page.get_by_role("link", name="Toutes les étapes").click()
    tablet.sees("cette page ne peut pas être ouverte maintenant")
    tablet.page.locator("summary").filter(has_text="Ada Invented").click()
    tablet.press("Español")
    tablet.sees("On ne peut pas changer de langue sans signal.")
    tablet.page.context.set_offline(False)
    tablet.page.route("**/script-texts/**", lambda route: route.abort("connectionfailed"))
    tablet.step(unit, "pitch")
    tablet.page.context.set_offline(True)
    tablet.page.get_by_role("link", name="Toutes les étapes").click()
    tablet.sees("No signal: that page cannot be opened now.")
