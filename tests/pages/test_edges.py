"""Addresses of pages at the edges of the calendar, of numbers, of bytes: never a mistake of ours.

What is asked for is refused in words, or there is no such page.
"""

from uuid import UUID

import pytest
from django.test import Client

from tests.campaigns.requests import edges
from tests.cast import Yard
from tests.pages.visitor import Enter

pytestmark = pytest.mark.django_db

MOMENTS = [*edges.MOMENTS, edges.NINES]
TEXTS = [*edges.NUMBERS[:4], *(text for text in edges.TEXTS if "\0" not in text), edges.NINES]


def answered(client: Client, path: str, **query: str) -> int:
    """The status of the answer."""
    status = client.get(path, query).status_code
    assert status < 500, (path, query)
    return status


@pytest.fixture
def unit(yard: Yard) -> UUID:
    """A unit in work."""
    return yard.started()


@pytest.mark.parametrize("view", ["known_at", "happened_by"])
def test_a_unit_at_no_moment_is_refused_in_words(
    yard: Yard, unit: UUID, enter: Enter, view: str
) -> None:
    """Year 1 and 9999 in any zone, a leap second, 30 February, a week, another script's digits."""
    client = enter(yard.rhea)
    for moment in MOMENTS:
        assert answered(client, f"/units/{unit}/", **{view: moment}) == 409, moment


def test_a_list_is_asked_for_with_anything(yard: Yard, unit: UUID, enter: Enter) -> None:
    """Moments, cursors, orders, searches."""
    client = enter(yard.rhea)
    for moment in MOMENTS:
        answered(client, "/lists/units/", received_since=moment)
    for cursor in edges.CURSORS:
        if "\0" not in cursor:
            answered(client, "/lists/units/", cursor=cursor)
    for text in TEXTS[::2]:
        answered(client, "/lists/units/", q=text[:3000], order=text[:3000], site=text[:3000])


def test_the_yard_is_searched_for_anything(yard: Yard, unit: UUID, enter: Enter) -> None:
    """By whoever types it."""
    client = enter(yard.sol)
    for text in TEXTS:
        answered(client, "/", q=text[:3000], after=text[:200], tile=text[:200])


def test_a_sheet_is_copied_from_a_page_of_no_moment(yard: Yard, unit: UUID, enter: Enter) -> None:
    """The page says what is missing."""
    client, path = enter(yard.ada), f"/units/{unit}/steps/pitch/"
    for moment in MOMENTS:
        query = {"paper": str(unit), "writer": yard.ada.username, "written": moment}
        answered(client, path, **query)


def test_an_audit_is_asked_for_at_no_moment(yard: Yard, unit: UUID, enter: Enter) -> None:
    """Its days and its moment are refused, each by its name."""
    client = enter(yard.rhea)
    for text in (*MOMENTS, *edges.DAYS):
        for name in ("as_of", "begins", "ends"):
            answer = client.post("/audit/bundle/", {name: text, "units": "all"})
            assert answer.status_code < 500, (name, text)


def test_a_step_is_filled_in_with_anything(yard: Yard, unit: UUID, enter: Enter) -> None:
    """Whatever its hidden fields say; nothing of it is recorded."""
    client, path = enter(yard.ada), f"/units/{unit}/steps/pitch/"
    for moment in MOMENTS:
        sent = {"do": "reading", "box": "pitch|", "text": "4 in", "happened": moment}
        assert client.post(path, sent).status_code in {302, 404, 409}, moment
    for text in TEXTS:
        sent = {"do": text[:50], "box": text[:300], "text": text[:3000], "command": text[:50]}
        assert client.post(path, sent).status_code < 500, text[:50]
