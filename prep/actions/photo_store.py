"""Storing photos: the file first, then its digest in the log; a refused photo is deleted."""

import hashlib
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final
from uuid import UUID, uuid5

from django.core.files.base import ContentFile
from django.db import transaction

from prep.actions.write_path import Command, Outcome
from prep.models import Photo
from prep.record.refusal import Refusal

LARGEST: Final = 12 * 1024 * 1024
JPEG, PNG, WEBP = b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n", b"RIFF"


@dataclass(frozen=True)
class Picture:
    """A photo as it is recorded. The name of the sender's file is not kept."""

    id: UUID
    digest: str
    name: str
    size: int


def keep(
    *, unit: UUID, command: Command, content: bytes, record: Callable[[Picture], Outcome]
) -> Outcome:
    """Store a photo of a unit and call `record`, which carries out the command that refers to it.

    The file is deleted again where the command is refused or was carried out before.
    """
    photo = uuid5(command.id, "photo")
    name = f"{photo}.{_ending(content)}"
    picture = Picture(photo, hashlib.sha256(content).hexdigest(), name, len(content))
    storage = Photo._meta.get_field("file").storage
    # The file first: an event without its file would be worse than a file without its event.
    stored = storage.save(f"photos/{name}", ContentFile(content))
    row = Photo(id=photo, unit_id=unit, digest=picture.digest, file=stored)
    outcome: Outcome | None = None
    try:
        with transaction.atomic():
            outcome = record(picture)
            if not outcome.repeated:
                row.save(force_insert=True)
    finally:
        if outcome is None or outcome.repeated:
            storage.delete(stored)
    return outcome


def _ending(content: bytes) -> str:
    if len(content) > LARGEST:
        raise Refusal("photo-too-large", "The picture is over 12 MB. Send a smaller one.")
    if content.startswith(JPEG):
        return "jpg"
    if content.startswith(PNG):
        return "png"
    if content.startswith(WEBP) and content[8:12] == b"WEBP":
        return "webp"
    raise Refusal("not-a-photo", "Send a JPEG, PNG or WebP picture.", field="photo")
