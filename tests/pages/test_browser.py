"""The main job of each person, done in a real browser on a phone and at a desk.

Every page on the way must neither scroll sideways nor have a target under 48 px, a text under the
contrast of WCAG 2.2 AA, a field without a name, or an error on the console.
"""

from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from playwright.sync_api import Browser

from prep.actions.people import choose_language
from prep.actions.perform import perform
from prep.actions.submission import Submission
from prep.models import Reading, Unit
from prep.record.unit.commands.sheets import StartSheet
from reports import queue
from reports.models import DocumentRequest
from tests.cast import Yard
from tests.pages.browser import CHROMIUM, Visit, visiting
from tests.reports.sold_units import quick_certificates
from tests.stored_files import own_folders, picture

pytestmark = [
    pytest.mark.browser,
    pytest.mark.skipif(not CHROMIUM.exists(), reason="needs Chromium at /usr/bin/chromium"),
]


@pytest.fixture
def visit(browser: Browser, live_server: Any, yard: Yard) -> Iterator[Visit]:
    """Somebody with a phone; `is_fit` looks at the same page at a desk, too."""
    with visiting(browser, live_server.url) as made:
        yield made


def test_a_technician_takes_a_unit_from_the_truck_to_a_second_check(
    visit: Visit, yard: Yard
) -> None:
    """Receive, cautions, right and ambiguous and wrong values, correction, signature, second."""
    visit.sign_in(yard.ada)
    visit.page.get_by_role("link", name="Receive a unit").click()
    visit.page.get_by_label("Manufacturer").fill("Larkfield")
    visit.page.get_by_label("Serial number, exactly as on the plate").fill("TC77100")
    visit.page.get_by_label("Model").select_option("TC-12")
    visit.is_fit()
    visit.press("Receive")
    visit.page.get_by_role("link", name="Start preparation").click()
    visit.press("Start preparation")
    visit.page.get_by_role("link", name="Next step: Block the deck").click()
    visit.sees("A raised deck falls.")
    assert visit.page.get_by_role("button", name="Yes").count() == 0
    visit.is_fit()
    visit.press("I have read and will follow")
    visit.page.get_by_role("button", name="Yes").click()
    visit.sign("Sign: prepared")
    visit.sees("prepared: Ada Invented")
    unit = Unit.objects.get(serial="TC77100").pk
    visit.step(unit, "pitch")
    visit.enter("Front tip", "110")
    visit.is_fit()
    visit.press("110 mm")
    visit.sees("conforming")
    visit.step(unit, "blades")
    visit.press("I have read and will follow")
    visit.enter("Blade bolt left", "700 ft lb", "W-1")
    visit.page.get_by_role("alert").wait_for()  # the wrench ends at 600
    visit.enter("Blade bolt left", "520 ft lb", "W-1")
    visit.sees("Flag:")
    visit.is_fit()
    visit.box("Blade bolt left").get_by_label("Reason for the correction").fill("put right")
    visit.enter("Blade bolt left", "450 ft lb")  # the wrench stays chosen
    visit.box("Blade bolt left").locator("figure").nth(0).wait_for()
    visit.enter("Blade bolt right", "450 ft lb")
    visit.sign("Sign: prepared")
    visit.sees("a second person, who made no entry")
    visit.press("Switch user")
    visit.sign_in(yard.ben)
    visit.step(unit, "blades")
    visit.sign("Sign: second person checked")
    visit.sees("second person checked: Ben Invented")
    visit.is_fit()
    kept = Reading.objects.filter(step="blades").values_list("raw", "person_name")
    assert sorted(kept) == [
        (raw, "Ada Invented") for raw in ("450 ft lb", "450 ft lb", "520 ft lb")
    ]


def test_sales_finds_what_is_ready_and_sells_it_and_the_manager_releases_it(
    visit: Visit, yard: Yard, settings: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Equal unit, buyer and tractor; release refused with reasons, release, handover, papers."""
    own_folders(settings, tmp_path)
    quick_certificates(monkeypatch)
    ready, sold = yard.prepared(), yard.started()
    yard.assign(sold)
    visit.sign_in(yard.sol)
    visit.is_fit()
    visit.page.get_by_role("link", name="Instead: TC00001").click()
    visit.page.get_by_role("link", name="Sold: enter buyer and tractor").click()
    visit.page.get_by_label("Buyer", exact=True).fill("Fen Farm (invented)")
    visit.page.get_by_label("Mailing address").fill("1 Invented Lane")
    visit.page.get_by_label("Buyer's tractor").select_option("T-90")
    visit.is_fit()
    visit.press("Save buyer and tractor")
    visit.sees("Still needed for its buyer:")
    visit.press("Switch user")
    visit.sign_in(yard.mira)
    visit.go(f"/units/{ready}/do/unit.release/")
    visit.sees("Cannot be released yet.")
    assert visit.page.get_by_label("Your PIN").count() == 0
    visit.is_fit()
    yard.match_tractor(ready)
    visit.go(f"/units/{ready}/do/unit.release/")
    visit.sign("Release this unit")
    visit.sees("Released for delivery by Mira Invented")
    visit.go(f"/units/{ready}/do/unit.hand-over/")
    visit.page.get_by_label("Received by").fill("Wes Fen (invented)")
    visit.page.get_by_label("What it will be used for").select_option("own use")
    for topic in visit.page.get_by_role("checkbox").all():
        topic.check()
    visit.is_fit()
    visit.sign("Record the handover")
    visit.page.wait_for_url(f"**/units/{ready}/")
    visit.is_fit()
    assert Unit.objects.get(pk=ready).state == "handed-over"
    queue.catch_up()
    visit.go(f"/units/{ready}/")
    visit.sees("Waiting to be created")
    visit.is_fit()
    queue.run_due()
    visit.page.get_by_role("link", name="Open").first.wait_for()  # the page looks again by itself
    assert visit.complaints == []


def test_an_auditor_looks_back_and_anybody_compares_a_file(
    visit: Visit, yard: Yard, settings: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Audit, a unit as it stood, and the page of a certificate's QR code without signing in."""
    own_folders(settings, tmp_path)
    quick_certificates(monkeypatch)
    unit = yard.ready()
    yard.release(unit)
    queue.catch_up()
    queue.run_due()
    visit.sign_in(yard.rhea)
    visit.go("/audit/?instrument=W-1")
    visit.sees("450 ft lb")
    visit.is_fit()
    visit.go(f"/units/{unit}/?known_at=1999-01-01T00:00")
    visit.sees("or that is not a valid date and time")
    visit.step(unit, "pitch")
    visit.is_fit()
    visit.go("/rules/leveling.pitch/")
    visit.is_fit()
    visit.press("Switch user")
    made = DocumentRequest.objects.get(kind="certificate")
    visit.go(f"/verify/{made.number}")
    file = tmp_path / "file.pdf"
    with queue.open_file(made) as opened:
        file.write_bytes(opened.read())
    visit.page.set_input_files("#file", str(file))
    visit.press("Check the file")
    visit.sees("This is exactly the file that was issued.")
    visit.is_fit()


def test_every_page_is_fit_in_the_dark(browser: Browser, live_server: Any, yard: Yard) -> None:
    """The same measures with the dark colors; and by keyboard alone to the first box."""
    unit = yard.started()
    yard.take(unit, "pitch", "front", "7 in")
    with visiting(browser, live_server.url, color_scheme="dark") as visit:
        visit.go("/sign-in")
        visit.is_fit()
        visit.sign_in(yard.mira)
        for path in (
            "/",
            "/receive",
            "/rules/",
            "/audit/",
            "/audit/bundle/",
            f"/units/{unit}/",
            "/no-page",
        ):
            visit.go(path)
            visit.complaints = [c for c in visit.complaints if "404" not in c]
            visit.is_fit()
        visit.step(unit, "pitch")
        visit.is_fit()
        visit.page.keyboard.press("Tab")
        assert visit.page.evaluate("document.activeElement.className") == "skip"
        visit.page.keyboard.press("Enter")
        for _ in range(12):
            visit.page.keyboard.press("Tab")
            if visit.page.evaluate("document.activeElement.name") == "text":
                break
        outline = visit.page.evaluate("getComputedStyle(document.activeElement).outlineWidth")
        assert outline == "4px"
        visit.page.keyboard.type("4 in")


@pytest.mark.parametrize("language", ["es", "fr"])
def test_every_page_is_fit_in_a_language_of_longer_words(
    browser: Browser, live_server: Any, yard: Yard, language: str
) -> None:
    """Nothing scrolls sideways; the switch is on the pages that need no signing in."""
    unit = yard.started()
    yard.take(unit, "pitch", "front", "4 in")
    with visiting(browser, live_server.url, locale=language) as visit:
        visit.go("/sign-in")
        visit.is_fit()
        visit.press("English")
        visit.sign_in(yard.mira)
        choose_language(actor=yard.mira, language=language)
        for path in (
            "/",
            "/receive",
            "/labels/",
            "/rules/",
            "/rules/leveling.pitch/",
            "/audit/?instrument=W-1",
            "/audit/bundle/",
            f"/units/{unit}/",
            f"/units/{unit}/steps/pitch/",
            f"/units/{unit}/steps/blades/",
            f"/units/{unit}/do/unit.release/",
        ):
            visit.go(path)
            assert visit.page.evaluate("document.documentElement.lang") == language
            visit.is_fit()


def test_a_photo_is_added_with_the_tablets_camera(
    visit: Visit, yard: Yard, settings: Any, tmp_path: Path
) -> None:
    """And seen in the box."""
    own_folders(settings, tmp_path)
    unit = yard.started()
    file = tmp_path / "photo.png"
    file.write_bytes(picture())
    visit.sign_in(yard.ada)
    visit.step(unit, "pitch")
    visit.enter("Front tip", "4 in")
    visit.sees("conforming")
    paint = visit.box("Paint")
    paint.get_by_text("Add a photo").click()
    paint.get_by_label("Photo").set_input_files(str(file))
    paint.get_by_role("button", name="Save photo").click()
    visit.page.locator(".photos img").wait_for()
    visit.is_fit()


def test_everything_works_without_scripts(browser: Browser, live_server: Any, yard: Yard) -> None:
    """The forms are sent by the browser itself."""
    unit = yard.started()
    with visiting(browser, live_server.url, java_script_enabled=False) as visit:
        visit.sign_in(yard.ada)
        visit.step(unit, "pitch")
        visit.enter("Front tip", "110")
        visit.press("110 mm")
        visit.sees("conforming")
    assert Reading.objects.get().canonical == "110"


def test_a_page_filled_in_by_hand_is_copied(
    visit: Visit, yard: Yard, settings: Any, tmp_path: Path
) -> None:
    """From its picture, entry after entry, until copying is stopped."""
    own_folders(settings, tmp_path)
    now = datetime.now(ZoneInfo("America/Chicago")).replace(second=0, microsecond=0)
    started = Submission(happened=now - timedelta(days=1))
    unit = yard.receive(happened=started.happened)
    perform(StartSheet(), actor=yard.ada, submission=started, target=unit)
    written = now - timedelta(hours=3)
    file = tmp_path / "page.png"
    file.write_bytes(picture())
    visit.sign_in(yard.ada)
    visit.step(unit, "pitch")
    paper = visit.page.locator("#paper")
    paper.get_by_text("Copy from paper").click()
    paper.get_by_label("Photo of the page filled in by hand").set_input_files(str(file))
    visit.is_fit()
    paper.get_by_role("button", name="Save photo").click()
    paper.get_by_label("Written by").select_option(label="Ben Invented")
    paper.get_by_label("Date and time on the paper").fill(f"{written:%Y-%m-%dT%H:%M}")
    visit.is_fit()
    visit.press("Copy from this page")
    visit.sees("Copying from paper")
    visit.enter("Front tip", "4 in")
    visit.box("Front tip").get_by_text("Ben Invented").first.wait_for()
    visit.sees("Copying from paper")
    visit.is_fit()
    reading = Reading.objects.get()
    assert (reading.raw, reading.happened) == ("4 in", written)
    visit.page.reload()
    visit.sees("Copying from paper")
