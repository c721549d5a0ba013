"""What every test of pages has; in a browser for those marked so."""

from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, sync_playwright

from tests.pages.browser import CHROMIUM, FLAGS
from tests.pages.visitor import Enter, signed_in


@pytest.fixture
def enter(settings: Any) -> Enter:
    """A browser in which somebody is signed in. With `settings`, so that the fast hasher holds."""
    return signed_in


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """One Chromium for all tests of pages."""
    with pytest.MonkeyPatch.context() as patch:
        # Playwright runs a loop in this thread; the tests ask the database between its calls.
        patch.setenv("DJANGO_ALLOW_ASYNC_UNSAFE", "true")
        with sync_playwright() as playwright:
            opened = playwright.chromium.launch(executable_path=str(CHROMIUM), args=FLAGS)
            yield opened
            opened.close()
