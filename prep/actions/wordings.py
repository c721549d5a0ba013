"""The words that people sign or acknowledge, each kept in the log once."""

from typing import Final

from prep.actions.locks import lock_sets
from prep.actions.log import Place
from prep.models import Event
from prep.record.facts import Wording
from prep.record.wording.events import WordingKept, wording_digest
from prep.words.commands import statement
from prep.words.reader import Reader

STREAM: Final = "wording"
SET: Final = "wordings"


def shown_wording(command: str, language: str) -> tuple[Wording, WordingKept]:
    """What a person declares by giving a command, as their pages say it."""
    text = statement(command, Reader(language=language))
    return Wording(language, wording_digest(text)), WordingKept(command, language, text)


def place_if_new(wording: Wording) -> Place | None:
    """Where a wording is to be kept; None where the log has it already.

    Two that need the same new wording meet at the lock of the set; the later one finds it kept.
    """
    if _kept(wording):
        return None
    lock_sets((), (SET,))
    return None if _kept(wording) else Place(STREAM, wording.digest, 0, "")


def _kept(wording: Wording) -> bool:
    return Event.objects.filter(stream=STREAM, stream_id=wording.digest).exists()
