"""Fixtures of the queue's tests: folders of their own, builders of one line and one that breaks."""

from pathlib import Path
from typing import Any

import pytest
from django.core.files.storage import default_storage
from django.utils import timezone

from reports.document_kind import BuiltFile, Progress
from reports.models import DocumentRequest, State
from reports.registry import KINDS
from tests.document_kinds import built_by, one_line


@pytest.fixture(autouse=True)
def _own_folders(settings: Any, tmp_path: Path) -> None:
    """Keys and files of a test lie in a folder of its own."""
    settings.KEYS = tmp_path
    settings.MEDIA_ROOT = tmp_path / "files"


@pytest.fixture(autouse=True)
def _one_line_builders(monkeypatch: pytest.MonkeyPatch) -> None:
    """Every kind is built by the builder of one line."""
    for kind in ("certificate", "registration", "labels"):
        monkeypatch.setitem(KINDS, kind, built_by(kind, one_line))


@pytest.fixture
def breaking(monkeypatch: pytest.MonkeyPatch) -> list[Exception]:
    """Labels are built by a builder that raises what this list holds, then builds."""
    wrongs: list[Exception] = []

    def build(request: DocumentRequest, progress: Progress) -> BuiltFile:
        if wrongs:
            raise wrongs.pop()
        return one_line(request, progress)

    monkeypatch.setitem(KINDS, "labels", built_by("labels", build))
    return wrongs


def files() -> list[str]:
    """Everything in the storage, published or not."""
    root = Path(default_storage.path(""))
    return sorted(str(path.relative_to(root)) for path in root.rglob("*") if path.is_file())


def only(kind: str = "certificate") -> DocumentRequest:
    """The one request of a kind."""
    return DocumentRequest.objects.get(kind=kind)


def hurry() -> None:
    """Everything that waits for a later try is due now."""
    DocumentRequest.objects.filter(state=State.WAITING).update(due=timezone.now())
