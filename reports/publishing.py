"""Putting finished files where people get them: whole, or not at all."""

import hashlib
import os
import shutil
from pathlib import Path

from django.core.files import File
from django.core.files.storage import default_storage

from reports.builders import BuiltFile, building_folder, temporary_file
from reports.models import DocumentRequest


class _Finished(File):  # type: ignore[type-arg]  # generic in the stubs only
    """A finished file whose path a file-system storage moves instead of copying."""

    def temporary_file_path(self) -> str:
        return str(self.name)


def measure(path: Path) -> tuple[str, int]:
    """SHA-256 in hex and size of a file, read in pieces."""
    with path.open("rb") as opened:
        return hashlib.file_digest(opened, "sha256").hexdigest(), path.stat().st_size


def publish(request: DocumentRequest, built: BuiltFile) -> str:
    """Store a finished file under a name of its own try; returns the name in the storage.

    A file-system storage renames it, which happens whole or not at all; an object storage takes a
    file whole by itself. Nobody knows the name before the request's row says it.
    """
    path = _beside(request, built.path)
    with path.open("rb+") as opened:
        os.fsync(opened.fileno())
        name = f"documents/{request.pk}/{request.worker}/{built.name}"
        return default_storage.save(name, _Finished(opened, str(path)))


def withdraw(file: str) -> None:
    """Remove a stored file that no row speaks of."""
    default_storage.delete(file)
    default_storage.delete(str(Path(file).parent))


def drop(request: DocumentRequest) -> None:
    """Remove what this try was building."""
    shutil.rmtree(building_folder(request) / str(request.worker), ignore_errors=True)


def tidy(request: DocumentRequest, *, keep: str) -> None:
    """Remove what earlier tries at a document left, built or published."""
    shutil.rmtree(building_folder(request), ignore_errors=True)
    folder = f"documents/{request.pk}"
    tries, _ = default_storage.listdir(folder)
    for attempt in tries:
        _, names = default_storage.listdir(f"{folder}/{attempt}")
        for name in names:
            if f"{folder}/{attempt}/{name}" != keep:
                withdraw(f"{folder}/{attempt}/{name}")


def _beside(request: DocumentRequest, path: Path) -> Path:
    """The file, or a copy of it on the disk of the published ones, where a move is atomic."""
    folder = building_folder(request)
    folder.mkdir(parents=True, exist_ok=True)
    if _device(path) == _device(folder):
        return path
    copy = temporary_file(request, path.suffix)
    shutil.copyfile(path, copy)
    return copy


def _device(path: Path) -> int:
    return path.stat().st_dev


def stored(file: str) -> File:  # type: ignore[type-arg]  # generic in the stubs only
    """A stored file, opened for reading."""
    return default_storage.open(file, "rb")
