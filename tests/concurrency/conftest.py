"""What tests of several processes have: the cast, committed, where other processes see it."""

from pathlib import Path
from typing import Any

import pytest

from reports.registry import KINDS
from tests.cast import Yard, make_yard
from tests.concurrency import notes
from tests.document_kinds import built_by


@pytest.fixture
def served_yard(settings: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Yard:
    """The cast, committed; keys and files where the workers have them."""
    settings.KEYS, settings.MEDIA_ROOT = tmp_path / "keys", tmp_path / "files"
    settings.KEYS.mkdir()
    monkeypatch.setitem(KINDS, notes.FORM, built_by(notes.FORM, notes.note))
    return make_yard()
