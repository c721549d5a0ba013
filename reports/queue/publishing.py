"""Publication of built files in the storage: whole, or not at all."""

import hashlib
import logging
import os
import shutil
from pathlib import Path, PurePosixPath
from typing import Final

from django.core.files import File
from django.core.files.storage import default_storage

from reports.document_kind import BuiltFile, building_folder, temporary_file
from reports.models import DocumentRequest

log = logging.getLogger(__name__)

LOST: Final = "lost"
DAMAGED: Final = "damaged"
ASIDE: Final = ".damaged"  # folder of files that were altered; a dot, so that none counts as stray


class _Finished(File):  # type: ignore[type-arg]  # generic in the stubs only
    """A finished file whose path a file-system storage moves instead of copying."""

    def temporary_file_path(self) -> str:
        return str(self.name)


def measure(path: Path) -> tuple[str, int]:
    """SHA-256 in hex and size of a file, read in pieces."""
    with path.open("rb") as opened:
        return hashlib.file_digest(opened, "sha256").hexdigest(), path.stat().st_size


def publish(request: DocumentRequest, built: BuiltFile) -> str:
    """Store a built file under a name unique to its try; returns the name in the storage.

    A file-system storage renames it, which happens whole or not at all; an object storage takes a
    file whole by itself. Nobody knows the name before the request's row says it.
    """
    path = _beside(request, built.path)
    with path.open("rb+") as opened:
        os.fsync(opened.fileno())
        name = f"documents/{request.pk}/{request.worker}/{built.name}"
        return default_storage.save(name, _Finished(opened, str(path)))


def fault_of(document: DocumentRequest) -> str:
    """What is wrong with the file of a finished document: lost, damaged, or empty for nothing.

    Raises OSError where the storage cannot be read, which says nothing of the file.
    """
    try:
        with default_storage.open(str(document.file), "rb") as opened:
            actual = hashlib.file_digest(opened, "sha256").hexdigest()
    except FileNotFoundError:
        return LOST
    return "" if actual == document.digest else DAMAGED


def keep_aside(document: DocumentRequest) -> None:
    """Copy the damaged file of a document, if there is one, to where nothing removes it.

    It is evidence. Its name there follows from its contents, so that a copy is made once.
    """
    try:
        with default_storage.open(str(document.file), "rb") as opened:
            digest = hashlib.file_digest(opened, "sha256").hexdigest()
            name = f"{ASIDE}/{document.pk}/{digest[:16]}-{document.name}"
            if digest != document.digest and not default_storage.exists(name):
                opened.seek(0)
                default_storage.save(name, opened)
    except FileNotFoundError:
        return


def withdraw(file: str) -> None:
    """Delete a stored file that no row refers to."""
    default_storage.delete(file)
    default_storage.delete(str(PurePosixPath(file).parent))


def erase(document: DocumentRequest) -> None:
    """Delete every file of a document: the issued one, leftovers of tries, damaged copies."""
    for name in _published(f"documents/{document.pk}"):
        withdraw(name)
    kept_aside = f"{ASIDE}/{document.pk}"
    try:
        _, names = default_storage.listdir(kept_aside)
    except FileNotFoundError:
        names = []
    for name in names:
        default_storage.delete(f"{kept_aside}/{name}")
    default_storage.delete(kept_aside)
    shutil.rmtree(building_folder(document), ignore_errors=True)


def drop(request: DocumentRequest) -> None:
    """Delete the folder in which this try was built."""
    shutil.rmtree(building_folder(request) / str(request.worker), ignore_errors=True)


def tidy(request: DocumentRequest, *, keep: str = "") -> None:
    """Delete leftovers of tries at a document, built or published, except the file to keep.

    Called while the request's row is locked, so that no new try begins meanwhile. What cannot be
    removed is only logged: a document is worth more than a tidy storage.
    """
    shutil.rmtree(building_folder(request), ignore_errors=True)
    try:
        for name in _published(f"documents/{request.pk}"):
            if name != keep:
                withdraw(name)
    except Exception as wrong:  # each storage has errors of its own
        log.warning("%s: what earlier tries left could not be removed (%s)", request, wrong)


def _published(folder: str) -> list[str]:
    """Every stored file of a document, one folder a try."""
    try:
        tries, _ = default_storage.listdir(folder)
    except FileNotFoundError:  # never published; an object storage lists nothing instead
        return []
    return [
        f"{folder}/{attempt}/{name}"
        for attempt in tries
        for name in default_storage.listdir(f"{folder}/{attempt}")[1]
    ]


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
