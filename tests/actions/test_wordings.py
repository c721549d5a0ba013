"""What people declare by signing is kept word for word, once, by its digest."""

import hashlib
from uuid import UUID

import pytest

from prep.actions.people import choose_language
from prep.actions.perform import perform
from prep.models import Event
from prep.queries.log import wording_of
from prep.record.commands import COMMANDS
from prep.record.needs import WORDING
from prep.record.refusal import Refusal
from prep.record.unit.commands.steps import AcknowledgeCautions
from prep.record.unit.events import CautionAcknowledged
from prep.words.commands import COMMANDS as WORDS
from prep.words.commands import statement
from prep.words.reader import Reader
from tests.cast import Yard

pytestmark = pytest.mark.django_db

ENGLISH = "I have read and will follow these safety instructions"


def kept() -> list[str]:
    """Digests of the wordings in the log, oldest first."""
    wordings = Event.objects.filter(stream="wording").order_by("id")
    return list(wordings.values_list("stream_id", flat=True))


def test_what_a_technician_acknowledged_can_be_read_years_later(yard: Yard) -> None:
    """The event names language and digest; the log has the text under that digest."""
    unit = yard.started()
    event = acknowledged(yard, unit)
    digest = hashlib.sha256(ENGLISH.encode()).hexdigest()
    assert (event.wording.language, event.wording.digest) == ("en", digest)
    wording = wording_of(digest)
    assert (wording.text, wording.language, wording.command) == (
        ENGLISH,
        "en",
        "caution.acknowledge",
    )


def acknowledged(yard: Yard, unit: UUID) -> CautionAcknowledged:
    """The event of the technician's acknowledgment of a step's cautions."""
    event = yard.acknowledge(unit, "block").events[0]
    assert isinstance(event, CautionAcknowledged)
    return event


def test_a_technician_acknowledges_in_the_language_of_the_pages(yard: Yard) -> None:
    """The Spanish words are kept, not their English source."""
    choose_language(actor=yard.ada, language="es")
    event = acknowledged(yard, yard.started())
    spanish = statement("caution.acknowledge", Reader(language="es"))
    assert spanish != ENGLISH
    assert event.wording.language == "es"
    assert wording_of(event.wording.digest).text == spanish


def test_the_same_words_are_kept_once(yard: Yard) -> None:
    """A second unit's acknowledgment refers to the wording that the first one kept."""
    first = acknowledged(yard, yard.started())
    before = kept()
    second = acknowledged(yard, yard.started())
    assert second.wording == first.wording
    assert kept() == before


def test_a_wording_stands_in_the_log_before_what_refers_to_it(yard: Yard) -> None:
    """So that a prefix of the log never refers to words that it lacks."""
    acknowledged(yard, yard.started())
    rows = Event.objects.filter(kind__in=("wording.kept", "caution.acknowledged"))
    assert list(rows.order_by("id").values_list("kind", flat=True)) == [
        "wording.kept",
        "caution.acknowledged",
    ]


def test_a_refused_acknowledgment_keeps_no_words(yard: Yard) -> None:
    """Nothing of a refused command stays."""
    unit = yard.started()
    with pytest.raises(Refusal, match="no-such-step"):
        perform(AcknowledgeCautions(step="nowhere"), actor=yard.ada, target=unit)
    assert kept() == []


def test_whatever_is_signed_has_a_statement_and_keeps_it() -> None:
    """A new signature cannot be added without its words."""
    keeping = {tag for tag, command in COMMANDS.items() if WORDING in command.needs}
    assert {tag for tag, command in COMMANDS.items() if command.signs()} <= keeping
    assert keeping == {tag for tag, words in WORDS.items() if words.statement}
