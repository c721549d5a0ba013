"""Fixtures of the queue's tests: folders of their own, plain builders and one that breaks."""

from pathlib import Path
from typing import Any

import pytest
from django.core.files.storage import default_storage
from django.utils import timezone

from reports.document_kind import BuiltFile, Progress, temporary_file
from reports.models import DocumentRequest, State
from reports.registry import KINDS
from tests.document_kinds import built_by


@pytest.fixture(autouse=True)
def _own_folders(settings: Any, tmp_path: Path) -> None:
    """Keys and files of a test lie in a folder of its own."""
    settings.KEYS = tmp_path
    settings.MEDIA_ROOT = tmp_path / "files"


def plain(request: DocumentRequest, progress: Progress) -> BuiltFile:
    """A builder that writes one line."""
    path = temporary_file(request, ".txt")
    path.write_text(f"{request.kind} for {request.cause}")
    progress(1, 1)
    return BuiltFile(path, f"{request.kind}.txt", f"N-{request.cause[:8]}", "text/plain")


@pytest.fixture(autouse=True)
def _plain_builders(monkeypatch: pytest.MonkeyPatch) -> None:
    """Every kind is built by the plain builder."""
    for kind in ("certificate", "registration", "labels"):
        monkeypatch.setitem(KINDS, kind, built_by(kind, plain))


@pytest.fixture
def breaking(monkeypatch: pytest.MonkeyPatch) -> list[Exception]:
    """Labels are built by a builder that raises what this list holds, then builds."""
    wrongs: list[Exception] = []

    def build(request: DocumentRequest, progress: Progress) -> BuiltFile:
        if wrongs:
            raise wrongs.pop()
        return plain(request, progress)

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
