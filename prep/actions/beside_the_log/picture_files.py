"""Files of pictures, named by their digest, so that the same picture twice is one file.

An intent first (`PendingFile`, committed), then the file, and the transaction of the event takes
the intent away with it. So whenever the service is killed, each file has a row that holds it, or an
intent by which it is found and removed. A file goes only where no row holds it and nobody else
means to: under a lock that whoever states an intent takes, too.
"""

import hashlib
import os
from collections.abc import Callable, Collection, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path
from typing import Final
from uuid import UUID, uuid4

from django.conf import settings
from django.core.files import File
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.db import transaction
from django.utils import timezone

from prep.actions.beside_the_log.pictures import PHOTO, SORTS, ReadPicture, read_picture
from prep.actions.locks import lock_sets
from prep.models import PendingFile, Photo
from prep.record.needs import Picture
from prep.record.refusal import Refusal

INCOMING: Final = ".incoming"  # folder of files being written; a dot, so that none counts as stray
FORGOTTEN: Final = timedelta(hours=1)  # after which whoever stated an intent was killed
SET: Final = "files"


class IntentLostError(RuntimeError):
    """The sweep took an intent away before its event was written, an hour after it was stated."""


def _of_photos(names: Collection[str]) -> set[str]:
    """Names among these that photos hold which are not erased."""
    digests, photos = {Path(name).stem for name in names}, Photo.objects.filter(erased=None)
    large = photos.filter(digest__in=digests).values_list("digest", flat=True)
    small = photos.filter(small__in=digests).values_list("small", flat=True)
    return {PHOTO.file(digest) for digest in large.union(small)} & set(names)


# Who holds files of pictures: each says which of some names are still needed.
HOLDERS: Final[tuple[Callable[[Collection[str]], set[str]], ...]] = (_of_photos,)


@dataclass(frozen=True)
class StoredPicture:
    """A picture whose files are stored, under an intent."""

    intent: UUID
    read: ReadPicture

    def settle(self) -> None:
        """Take the intent away; within the transaction of the event that keeps the picture."""
        deleted, _ = PendingFile.objects.filter(intent=self.intent).delete()
        if deleted != len(self.read.files):
            raise IntentLostError(f"{self.intent} was taken away before its picture was kept")

    def as_photo(self, photo: UUID) -> Picture:
        """What the event of a photo says of it."""
        large, small = self.read.large, self.read.small
        return Picture(
            str(photo),
            large.digest,
            Path(self.read.sort.file(large.digest)).name,
            len(large.content),
            self.read.sent,
            small.digest,
        )


@contextmanager
def stored_picture(content: bytes | None, sort: str) -> Iterator[StoredPicture]:
    """Store the files of a picture for as long as it takes to carry its command out.

    Refusal where it is no picture. Afterwards the files of a picture that was not kept are gone.
    """
    read = read_picture(content, SORTS[sort])
    intent = uuid4()
    _state(intent, read.files)
    try:
        for name, data in read.files.items():
            _write(intent, name, data)
        yield StoredPicture(intent, read)
    finally:
        drop(intent)


def drop(intent: UUID) -> None:
    """Delete the files that an intent names and nothing else holds, and the intent."""
    if not PendingFile.objects.filter(intent=intent).exists():
        return
    with transaction.atomic():
        lock_sets((), (SET,))
        # Before asking who holds them: an event takes both steps, in the other order, at once.
        meant = set(PendingFile.objects.exclude(intent=intent).values_list("name", flat=True))
        names = set(PendingFile.objects.filter(intent=intent).values_list("name", flat=True))
        for name in names - meant - held(names):
            default_storage.delete(name)
        for name in names:
            default_storage.delete(_incoming(intent, name))
        PendingFile.objects.filter(intent=intent).delete()


@transaction.atomic
def delete_files(names: Collection[str]) -> None:
    """Delete files that nothing holds any more and nobody means to keep."""
    lock_sets((), (SET,))
    for name in set(names) - expected(names):
        default_storage.delete(name)


def drop_forgotten() -> None:
    """Drop the intents of whoever was killed before their picture was kept."""
    before = timezone.now() - FORGOTTEN
    forgotten = PendingFile.objects.filter(stated__lt=before).values_list("intent", flat=True)
    for intent in set(forgotten):
        drop(intent)


def held(names: Collection[str]) -> set[str]:
    """Those of some names of files that a row holds."""
    return set().union(*(holder(names) for holder in HOLDERS))


def expected(names: Collection[str]) -> set[str]:
    """Those of some names of files that a row holds, or somebody is about to keep."""
    pending = PendingFile.objects.filter(name__in=names).values_list("name", flat=True)
    return set(pending) | held(names)


def open_photo(photo: Photo, digest: str) -> File:  # type: ignore[type-arg]  # generic in stubs only
    """The file of a photo, or of its small copy, by its digest; Refusal where there is none."""
    if digest not in {photo.digest, photo.small}:
        raise Refusal("no-such-photo")
    try:
        return default_storage.open(PHOTO.file(digest), "rb")
    except FileNotFoundError:
        raise Refusal("photo-file-missing") from None


def _state(intent: UUID, names: Mapping[str, bytes]) -> None:
    """State an intent. Nobody deletes a file of these names from now on."""
    with transaction.atomic():
        lock_sets((), (SET,))
        PendingFile.objects.bulk_create(PendingFile(intent=intent, name=name) for name in names)


def _incoming(intent: UUID, name: str) -> str:
    return f"{INCOMING}/{intent}-{Path(name).name}"


def _write(intent: UUID, name: str, content: bytes) -> None:
    """Put a file in its place whole, or not at all; one that is there has the same bytes."""
    try:
        path, incoming = (Path(default_storage.path(n)) for n in (name, _incoming(intent, name)))
    except NotImplementedError:  # an object storage takes a file whole by itself
        if not default_storage.exists(name):
            default_storage.save(name, ContentFile(content))
        return
    if path.exists() and hashlib.sha256(path.read_bytes()).hexdigest() == path.stem:
        return
    for folder in (path.parent, incoming.parent):
        folder.mkdir(parents=True, exist_ok=True)
    with incoming.open("wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())
    if settings.FILE_UPLOAD_PERMISSIONS is not None:
        incoming.chmod(settings.FILE_UPLOAD_PERMISSIONS)
    incoming.replace(path)
    _sync_folder(path.parent)


def _sync_folder(folder: Path) -> None:
    """See to it that a name in a folder outlasts a power cut; Windows does so by itself."""
    if os.name == "nt":
        return
    opened = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(opened)
    finally:
        os.close(opened)
