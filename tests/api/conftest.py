"""What the API's tests share: empty counters, and everybody signed in."""

from pathlib import Path
from typing import Any

import pytest

from tests.api.client import Api
from tests.cast import Yard


@pytest.fixture(autouse=True)
def _own_folders(settings: Any, tmp_path: Path) -> None:
    """Files of a test stay in the test's folder."""
    settings.STATIC_ROOT = tmp_path
    settings.MEDIA_ROOT = tmp_path / "files"


@pytest.fixture
def api(yard: Yard) -> Api:
    """The API, with a token for everybody of the yard."""
    return Api(yard)
