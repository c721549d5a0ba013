"""What the tests of imports have: no broker, and files of the log's keys in a folder of theirs."""

from pathlib import Path
from typing import Any

import pytest


@pytest.fixture(autouse=True)
def _own_folders(settings: Any, tmp_path: Path) -> None:
    """Nothing is sent to a broker."""
    settings.KEYS, settings.MEDIA_ROOT = tmp_path, tmp_path / "files"
    settings.SERVICE = False
