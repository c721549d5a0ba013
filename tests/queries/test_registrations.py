"""A registration that is late is seen as late, although nobody touched the unit."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any
from uuid import UUID

import pytest
from django.test import Client
from django.utils import timezone

from prep.actions.perform import perform
from prep.models import Event, Person, Unit
from prep.record.refusal import Refusal
from prep.record.unit.commands.registrations import AnswerRegistration, SendRegistration
from prep.verify.index import units as compared
from prep.words.dates import short_day
from prep.words.reader import ENGLISH
from reports import queue
from reports.document_kind import BuiltFile
from reports.models import DocumentRequest
from reports.registry import KINDS
from tests.api.client import Api
from tests.cast import PASSWORD, Yard
from tests.document_kinds import built_by
from tests.reports.sold_units import made, quick_certificates, sold
from tests.stored_files import own_folders

At = Callable[[datetime], None]


@pytest.fixture(autouse=True)
def _own_folders(settings: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Keys and files of a test lie in a folder of its own; certificates are made quickly."""
    own_folders(settings, tmp_path)
    quick_certificates(monkeypatch)


@pytest.fixture
def at(monkeypatch: pytest.MonkeyPatch) -> At:
    """Lets the clock stand at a moment."""
    return lambda moment: monkeypatch.setattr(timezone, "now", lambda: moment)


def last_evening(unit: UUID) -> datetime:
    """Half past nine in the evening of the last day in Chicago, where the yard is.

    It is UTC-5 or UTC-6 there: by the clock of Greenwich the next day has begun.
    """
    day = datetime.fromisoformat(Unit.objects.get(pk=unit).registration_due)
    return day.replace(tzinfo=UTC) + timedelta(days=1, hours=3, minutes=30)


def listed(yard: Yard, standing: str) -> list[tuple[str, str]]:
    """Units of a standing in the API's list, each with the standing it says."""
    answer = Api(yard).get(f"units?registration={standing}", yard.sol)
    return [(row["id"], row["registration"]) for row in answer.body["items"]]


def yard_page(person: Person, show: str) -> str:
    """The yard as a person narrows it."""
    browser = Client()
    assert browser.login(username=person.username, password=PASSWORD)
    return " ".join(browser.get("/", {"show": show}).content.decode().split())


def test_the_last_day_passes_by_the_yards_clock(yard: Yard, at: At) -> None:
    """Due until the day is over where the yard is; overdue the hour after, with no new event."""
    unit = sold(yard)
    due = Unit.objects.get(pk=unit).registration_due
    events = Event.objects.count()
    evening = last_evening(unit)
    assert evening.date().isoformat() > due
    at(evening)
    assert (listed(yard, "due"), listed(yard, "overdue")) == ([(str(unit), "due")], [])
    assert f"Register by {short_day(due, ENGLISH)}." in yard_page(yard.sol, "register")
    assert "No units here." in yard_page(yard.sol, "overdue")
    at(evening + timedelta(hours=4))
    assert (listed(yard, "due"), listed(yard, "overdue")) == ([], [(str(unit), "overdue")])
    assert f"Registration overdue since {short_day(due, ENGLISH)}." in yard_page(
        yard.sol, "overdue"
    )
    assert f"Warranty registration: overdue since {short_day(due, ENGLISH)}" in unit_page(
        yard.sol, unit
    )
    assert Event.objects.count() == events


def unit_page(person: Person, unit: UUID) -> str:
    """A unit's page."""
    browser = Client()
    assert browser.login(username=person.username, password=PASSWORD)
    return " ".join(browser.get(f"/units/{unit}/").content.decode().split())


def test_a_registration_that_went_out_is_never_overdue(yard: Yard, at: At) -> None:
    """Sent, refused, sent again, accepted: the row follows the record."""
    unit = sold(yard)
    evening = last_evening(unit)
    bundle = made(unit, "registration")

    def send() -> None:
        perform(SendRegistration(document=str(bundle.pk)), actor=yard.sol, target=unit)

    def answer(accepted: bool, reason: str = "") -> None:
        perform(AnswerRegistration(accepted=accepted, reason=reason), actor=yard.sol, target=unit)

    for step, standing in (
        (send, "sent"),
        (lambda: answer(False, "The serial is missing (invented)."), "refused"),
        (send, "sent"),
        (lambda: answer(True), "accepted"),
    ):
        step()
        with pytest.MonkeyPatch.context() as clock:
            clock.setattr(timezone, "now", lambda: evening + timedelta(days=30))
            assert listed(yard, standing) == [(str(unit), standing)]
            assert listed(yard, "overdue") == []
    assert list(compared(lambda *_: None)) == []


def test_units_still_here_are_not_due(yard: Yard) -> None:
    """Nothing is registered before it is handed over; an unknown standing is refused."""
    unit = yard.receive()
    assert listed(yard, "not-due") == [(str(unit), "not-due")]
    assert Api(yard).get("units?registration=late", yard.sol).status == 422
    assert Api(yard).get("units?state=in preparation", yard.sol).status == 422
    [shown] = Api(yard).get("units?state=received", yard.sol).body["items"]
    assert shown["state_words"] == {"word": "received", "mark": "○", "tone": "no"}


@pytest.mark.parametrize(("who", "offered"), [("sol", True), ("mira", True), ("ada", False)])
def test_whoever_sends_registrations_is_offered_them(yard: Yard, who: str, offered: bool) -> None:
    """Sales and the office; technicians have enough to look at."""
    assert ("Registration overdue" in yard_page(getattr(yard, who), "")) is offered


def test_a_paper_that_could_not_be_made_is_found_from_the_yard(
    yard: Yard, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Given up, its unit is among the stuck ones; made after all, it is not."""

    def broken(*_: Any) -> BuiltFile:
        raise Refusal("missing-data", name="TC-12 (invented)", entry="mass")

    unit = yard.ready()
    yard.release(unit)
    queue.catch_up()
    with monkeypatch.context() as patch:
        patch.setitem(KINDS, "certificate", built_by("certificate", broken))
        queue.run_due()
    assert f"/units/{unit}/" in yard_page(yard.mira, "stuck")
    assert "TC-12 (invented) has no “mass”" in unit_page(yard.mira, unit)
    queue.retry(DocumentRequest.objects.get(unit=unit))
    queue.run_due()
    assert f"/units/{unit}/" not in yard_page(yard.mira, "stuck")
