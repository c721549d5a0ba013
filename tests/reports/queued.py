"""Fixtures of the queue's tests: folders of their own, plain builders and one that breaks."""

from pathlib import Path
from typing import Any

import pytest
from django.core.files.storage import default_storage
from django.utils import timezone

from reports.builders import BUILDERS, BuiltFile, Progress, temporary_file
from reports.models import DocumentRequest, State


@pytest.fixture(autouse=True)
def _own_folders(settings: Any, tmp_path: Path) -> None:
    """Keys and files of a test lie in a folder of its own."""
    settings.KEYS = tmp_path
    settings.MEDIA_ROOT = tmp_path / "files"


def plain(request: DocumentRequest, progress: Progress) -> BuiltFile:
    """A builder that writes one line."""
    path = temporary_file(request, ".txt")
    path.write_text(f"{request.form} for {request.cause}")
    progress(1, 1)
    return BuiltFile(path, f"{request.form}.txt", f"N-{request.cause[:8]}", "text/plain")


@pytest.fixture(autouse=True)
def _plain_builders(monkeypatch: pytest.MonkeyPatch) -> None:
    """Every form is built by the plain builder."""
    for form in ("certificate", "registration", "labels"):
        monkeypatch.setitem(BUILDERS, form, plain)


@pytest.fixture
def breaking(monkeypatch: pytest.MonkeyPatch) -> list[Exception]:
    """Labels are built by a builder that raises what this list holds, then builds."""
    wrongs: list[Exception] = []

    def build(request: DocumentRequest, progress: Progress) -> BuiltFile:
        if wrongs:
            raise wrongs.pop()
        return plain(request, progress)

    monkeypatch.setitem(BUILDERS, "labels", build)
    return wrongs


def files() -> list[str]:
    """Everything in the storage, published or not."""
    root = Path(default_storage.path(""))
    return sorted(str(path.relative_to(root)) for path in root.rglob("*") if path.is_file())


def only(form: str = "certificate") -> DocumentRequest:
    """The one request of a form."""
    return DocumentRequest.objects.get(form=form)


def hurry() -> None:
    """Everything that waits for a later try is due now."""
    DocumentRequest.objects.filter(state=State.WAITING).update(due=timezone.now())
