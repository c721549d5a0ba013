"""The pages of the lists."""

from collections.abc import Callable
from typing import Any

import pytest
from django.test import Client

from prep.actions.people import choose_language
from prep.models import Person
from reports.lists.all_lists import LISTS
from tests.cast import Yard
from tests.queries.listing.yards import with_a_few

Enter = Callable[[Person], Client]


@pytest.mark.parametrize("name", sorted(LISTS))
def test_every_list_has_a_page_in_the_readers_language(yard: Yard, enter: Enter, name: str) -> None:
    """Its rows, and no token where a word belongs."""
    with_a_few(yard)
    choose_language(actor=yard.otto, language="es")
    page = enter(yard.otto).get(f"/lists/{name}/")
    assert page.status_code == 200
    assert "handed-over" not in page.content.decode().replace('value="handed-over"', "")


def test_a_manager_narrows_and_exports_what_is_shown(yard: Yard, enter: Enter) -> None:
    """The export has the same filter as the page."""
    with_a_few(yard)
    client = enter(yard.mira)
    page = client.get("/lists/shortages/", {"missing": "true"}).content.decode()
    assert "Chain guard, rear" in page
    assert "?missing=true&amp;export=csv" in page
    sent = client.get("/lists/shortages/", {"missing": "true", "export": "csv"})
    content = b"".join(sent.streaming_content).decode("utf-8-sig")  # type: ignore[attr-defined]  # streamed
    assert content.splitlines()[1].split(",")[1:3] == ['"Chain guard', ' rear"']


def test_a_bad_filter_is_said_on_the_page_and_nothing_is_shown(yard: Yard, enter: Enter) -> None:
    """What was typed stays in the form."""
    with_a_few(yard)
    page: Any = enter(yard.mira).get("/lists/flags/", {"raised_since": "last week"})
    assert page.status_code == 422
    text = page.content.decode()
    assert "is not a valid date and time" in text
    assert 'value="last week"' in text


def test_lists_somebody_may_not_read_are_not_there(yard: Yard, enter: Enter) -> None:
    """Neither in the list of lists nor by their address."""
    client = enter(yard.ada)
    shown = client.get("/lists/").content.decode()
    assert "/lists/units/" in shown
    assert "/lists/buyers/" not in shown
    assert client.get("/lists/buyers/").status_code == 404
    assert client.get("/lists/nothing/").status_code == 404


def test_a_manufacturer_is_offered_for_correction_to_whoever_may(yard: Yard, enter: Enter) -> None:
    """A technician reads the list and no more."""
    offer = "Add or correct a manufacturer"
    assert offer in enter(yard.mira).get("/lists/").content.decode()
    assert offer not in enter(yard.ada).get("/lists/").content.decode()
