"""What batches brought and the record did not take, as pages show it."""

from dataclasses import dataclass
from datetime import datetime

from django.http import HttpRequest

from prep.pages.forms import person
from prep.queries.events import NotTaken, Settling
from prep.queries.readers import reader_of
from prep.record.procedure.document import Procedure
from prep.record.stored_refusals import restored
from prep.words.commands import asked_text
from prep.words.refusals import refusal_text
from prep.words.refused.typed_fields import typed_text
from prep.words.unit.signatures import with_named


@dataclass(frozen=True)
class ShownNotTaken:
    """An entry that was not taken: what it was, what was typed, by whom, when, and why not."""

    id: str
    asked: str
    typed: list[tuple[str, str]]
    who: str
    when: datetime
    why: str
    settling: Settling | None


def shown_not_taken(
    kept: NotTaken, procedure: Procedure | None, request: HttpRequest
) -> ShownNotTaken:
    """An entry that was not taken, for whoever asks."""
    reader, event = reader_of(person(request)), kept.event
    return ShownNotTaken(
        id=kept.id,
        asked=asked_text(event.asked, reader),
        typed=list(typed_text(event.asked, event.fields, procedure, reader)),
        who=with_named(kept.name, kept.author, reader),
        when=datetime.fromisoformat(event.happened),
        why=refusal_text(restored(event.refusal), reader),
        settling=kept.settling,
    )
