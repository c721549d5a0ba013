"""What every test of pages has; in a browser for those marked so."""

from typing import Any

import pytest

from tests.pages.visitor import Enter, signed_in


@pytest.fixture
def enter(settings: Any) -> Enter:
    """A browser in which somebody is signed in. With `settings`, so that the fast hasher holds."""
    return signed_in
