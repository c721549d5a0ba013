"""Keeping pictures: the file first, its digest in the log, and nothing left of a refused one."""

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
    """A picture as the log will know it. The name of the sender's file is not kept."""

    id: UUID
    digest: str
    name: str
    size: int


def keep(
    *, unit: UUID, command: Command, content: bytes, record: Callable[[Picture], Outcome]
) -> Outcome:
    """Store a picture of a unit, and have `record` carry out the command that speaks of it."""
    photo = uuid5(command.id, "photo")
    name = f"{photo}.{_ending(content)}"
    picture = Picture(photo, hashlib.sha256(content).hexdigest(), name, len(content))
    storage = Photo._meta.get_field("file").storage
    # The file first: an event whose file is missing would be worse than a file nobody refers to.
    stored = storage.save(f"photos/{name}", ContentFile(content))
    kept = Photo(id=photo, unit_id=unit, digest=picture.digest, file=stored)
    outcome: Outcome | None = None
    try:
        with transaction.atomic():
            outcome = record(picture)
            if not outcome.repeated:
                kept.save(force_insert=True)
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
