"""Readings, checks and photos."""

import hashlib
from uuid import UUID, uuid5

from django.core.files.base import ContentFile
from django.db import transaction

from prep.actions.writing import Command, Outcome, change_unit
from prep.models import Person, Photo
from prep.queries.shop import instrument_facts
from prep.record import readings
from prep.record.refusal import Refusal

LARGEST_PHOTO = 12 * 1024 * 1024
JPEG, PNG, WEBP = b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n", b"RIFF"


def take(
    *,
    actor: Person,
    command: Command,
    unit: UUID,
    step: str,
    line: str,
    text: str,
    position: str = "",
    instrument: str = "",
    supersedes: str = "",
    reason: str = "",
    copied_from_paper: bool = False,
) -> Outcome:
    """A value as the technician typed it, judged and kept."""
    facts = instrument_facts(instrument) if instrument else None
    return change_unit(
        actor=actor,
        unit=unit,
        command=command,
        request=[
            "reading.take",
            step,
            line,
            position,
            text,
            instrument,
            supersedes,
            reason,
            copied_from_paper,
        ],
        decide=lambda record, context: readings.take(
            record,
            context,
            step=step,
            line=line,
            text=text,
            position=position,
            instrument=facts,
            supersedes=supersedes,
            reason=reason,
            decimal_comma=actor.decimal_comma,
            copied_from_paper=copied_from_paper,
        ),
    )


def complete_check(
    *,
    actor: Person,
    command: Command,
    unit: UUID,
    step: str,
    line: str,
    answer: bool,
    position: str = "",
    note: str = "",
    supersedes: str = "",
    reason: str = "",
    copied_from_paper: bool = False,
) -> Outcome:
    """A yes/no line answered."""
    return change_unit(
        actor=actor,
        unit=unit,
        command=command,
        request=[
            "check.complete",
            step,
            line,
            position,
            answer,
            note,
            supersedes,
            reason,
            copied_from_paper,
        ],
        decide=lambda record, context: readings.complete_check(
            record,
            context,
            step=step,
            line=line,
            answer=answer,
            position=position,
            note=note,
            supersedes=supersedes,
            reason=reason,
            copied_from_paper=copied_from_paper,
        ),
    )


def attach_photo(
    *,
    actor: Person,
    command: Command,
    unit: UUID,
    step: str,
    line: str,
    content: bytes,
    position: str = "",
    note: str = "",
) -> Outcome:
    """A picture for a line. The name of the sender's file is not kept; its bytes are."""
    ending = _ending(content)
    photo = uuid5(command.id, "photo")
    digest = hashlib.sha256(content).hexdigest()
    storage = Photo._meta.get_field("file").storage
    name = f"{photo}.{ending}"
    # The file first: an event whose file is missing would be worse than a file nobody refers to.
    stored = storage.save(f"photos/{name}", ContentFile(content))
    kept = Photo(id=photo, unit_id=unit, digest=digest, file=stored)
    outcome: Outcome | None = None
    try:
        with transaction.atomic():
            outcome = change_unit(
                actor=actor,
                unit=unit,
                command=command,
                request=["photo.attach", step, line, position, digest, note],
                decide=lambda record, context: readings.attach_photo(
                    record,
                    context,
                    photo=str(photo),
                    step=step,
                    line=line,
                    digest=digest,
                    name=name,
                    size=len(content),
                    position=position,
                    note=note,
                ),
            )
            if not outcome.repeated:
                kept.save(force_insert=True)
    finally:
        if outcome is None or outcome.repeated:
            storage.delete(stored)
    return outcome


def _ending(content: bytes) -> str:
    if len(content) > LARGEST_PHOTO:
        raise Refusal("photo-too-large", "The picture is over 12 MB. Send a smaller one.")
    if content.startswith(JPEG):
        return "jpg"
    if content.startswith(PNG):
        return "png"
    if content.startswith(WEBP) and content[8:12] == b"WEBP":
        return "webp"
    raise Refusal("not-a-photo", "Send a JPEG, PNG or WebP picture.", field="photo")
