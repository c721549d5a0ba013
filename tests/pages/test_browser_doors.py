"""Pages of people, devices, tokens, yards and guests in a real browser, at every width."""

from typing import Any

import pytest
from playwright.sync_api import Browser

from prep.actions.people import choose_language
from prep.models import Person
from tests.cast import Yard
from tests.pages.browser import CHROMIUM, visiting

pytestmark = [
    pytest.mark.browser,
    pytest.mark.skipif(not CHROMIUM.exists(), reason="needs Chromium at /usr/bin/chromium"),
    pytest.mark.django_db(transaction=True),
]


def pages(ada: Person) -> list[str]:
    """What an administrator looks at on a day on which somebody begins work."""
    of_ada = f"/people/{ada.pk}"
    return [
        "/people/",
        "/people/invite/north/",
        of_ada + "/",
        of_ada + "/do/card.record/",
        of_ada + "/do/person.suspend/",
        of_ada + "/roles/north/add/",
        "/settings/",
        "/devices/",
        "/tokens/",
        "/tokens/issue/",
        "/yards/",
        "/yards/open/",
        "/yards/north/",
        "/yards/north/do/site.describe/",
        "/yards/north/do/site.set-hours/",
        "/yards/north/do/site.set-holidays/",
        "/guests/admit/",
        "/lists/people/",
        "/about/threats",
        "/join",
    ]


@pytest.mark.parametrize("language", ["en", "es"])
def test_pages_of_people_and_doors_are_fit(
    browser: Browser, live_server: Any, yard: Yard, language: str
) -> None:
    """Nothing scrolls sideways or is too small to touch, in longer words as well."""
    with visiting(browser, live_server.url, locale=language) as visit:
        visit.go("/sign-in")
        if language != "en":
            visit.press("English")
        visit.sign_in(yard.otto)
        choose_language(actor=yard.otto, language=language)
        unfit = []
        for path in pages(yard.ada):
            visit.go(path)
            try:
                visit.is_fit()
            except AssertionError as error:
                unfit.append(f"{path}: {error}")
        assert unfit == []
