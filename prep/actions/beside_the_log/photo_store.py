"""Storing photos: the file first, then its digest in the log; a refused photo is deleted."""

import hashlib
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final
from uuid import UUID, uuid5

from django.core.files.base import ContentFile

from prep.models import Photo
from prep.record.needs import Picture
from prep.record.refusal import Refusal

LARGEST: Final = 12 * 1024 * 1024
JPEG, PNG, WEBP = b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n", b"RIFF"


@dataclass(frozen=True)
class StoredPicture:
    """A picture whose file is stored; `keep` adds its row, `discard` deletes the file again."""

    picture: Picture
    keep: Callable[[], None]
    discard: Callable[[], None]


def store_picture(unit: UUID, command: UUID, content: bytes | None) -> StoredPicture:
    """Store the file of a unit's picture; Refusal where there is none, or it is no picture.

    The name of the sender's file is not kept.
    """
    if content is None:
        raise Refusal("photo-missing", field="photo")
    photo = uuid5(command, "photo")
    name = f"{photo}.{_ending(content)}"
    picture = Picture(str(photo), hashlib.sha256(content).hexdigest(), name, len(content))
    storage = Photo._meta.get_field("file").storage
    # The file first: an event without its file would be worse than a file without its event.
    stored = storage.save(f"photos/{name}", ContentFile(content))
    row = Photo(id=photo, unit_id=unit, digest=picture.digest, file=stored)
    return StoredPicture(
        picture, lambda: row.save(force_insert=True), lambda: storage.delete(stored)
    )


def _ending(content: bytes) -> str:
    if len(content) > LARGEST:
        raise Refusal("photo-too-large", most=LARGEST // 1024**2)
    if content.startswith(JPEG):
        return "jpg"
    if content.startswith(PNG):
        return "png"
    if content.startswith(WEBP) and content[8:12] == b"WEBP":
        return "webp"
    raise Refusal("not-a-photo", field="photo")
