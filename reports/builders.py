"""What makes documents: one builder a form, entered when the application starts."""

import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from django.conf import settings

from reports.models import DocumentRequest

# Called as a builder gets on, with how much is done and how much there is. It keeps the claim on
# the request alive, so call it at least once a minute; it raises when the request was cancelled.
Progress = Callable[[int, int], None]


class NotYetError(Exception):
    """Something a document needs is still being made; the queue tries again."""


@dataclass(frozen=True)
class BuiltFile:
    """A finished file at a temporary path, and how it is to be known."""

    path: Path
    name: str
    number: str
    media_type: str


Builder = Callable[[DocumentRequest, Progress], BuiltFile]

# By form: certificate, registration, audit, labels, sheet.
BUILDERS: Final[dict[str, Builder]] = {}


def temporary_file(request: DocumentRequest, ending: str) -> Path:
    """A new empty file to build in, removed by itself when the builder fails.

    It lies beside the published files, because only there is moving it atomic.
    """
    folder = building_folder(request) / str(request.worker)
    folder.mkdir(parents=True, exist_ok=True)
    with tempfile.NamedTemporaryFile(dir=folder, suffix=ending, delete=False) as opened:
        return Path(opened.name)


def building_folder(request: DocumentRequest) -> Path:
    """Where every try at a document is built; what is found here was never published."""
    return Path(settings.MEDIA_ROOT) / ".building" / str(request.pk)
