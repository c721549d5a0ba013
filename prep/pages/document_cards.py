"""Document cards: the documents of a unit as pages show them, with what to do next."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Final
from uuid import UUID

from django.conf import settings
from django.utils import timezone

from prep.models import Person
from prep.queries.readers import reader_of
from prep.queries.units import Seen
from prep.record.buyer.commands import AmendBuyer
from prep.record.unit.commands.registrations import as_recorded
from prep.record.unit.state import Cause, Record
from prep.words.documents.remakes import remake_text
from prep.words.documents.states import document_state
from prep.words.outages.sentences import waiting_text
from prep.words.reader import ENGLISH, Reader, say
from reports import queue
from reports.certificate.cause import release_of
from reports.models import DocumentRequest, Remake, State
from reports.queue import may_stop
from reports.registration.document import missing
from reports.registration.facts import of_the_buyer
from reports.registry import kind_named

SHOWN: Final = 20
# Items a registration lacks only until the handover.
OF_THE_HANDOVER: Final = frozenset({"release", "handover", "delivery date"})


@dataclass(frozen=True)
class DocumentCard:
    """A document as a page shows it: its request in words, and what this person may do with it.

    `language` is the code and the own name of the language it is written in; `withdrawn` says that
    the release it certifies was taken back, `remade` what became of making its file again, `waits`
    since when it waits, where that is unusually long, `may_open` that its personal data, if it
    holds any, are for this person.
    """

    request: DocumentRequest
    title: str
    language: tuple[str, str]
    state: str
    failure: str
    replaced: bool
    may_stop: bool
    withdrawn: bool = False
    remade: str = ""
    being_remade: bool = False
    waits: str = ""
    may_open: bool = True

    @property
    def erased(self) -> bool:
        """Whether its file was erased, for the personal data in it."""
        return self.request.erased is not None

    @property
    def may_remake(self) -> bool:
        """Whether this person may have its file made again."""
        stands = not self.replaced and not self.being_remade and not self.erased
        return self.done and self.may_stop and stands

    @property
    def done(self) -> bool:
        """Whether it can be opened."""
        return self.request.state == State.DONE

    @property
    def moves(self) -> bool:
        """Whether its state will change by itself."""
        return self.being_remade or self.request.state in queue.UNFINISHED


def cards_of(unit: UUID, record: Record, person: Person, seen: Seen) -> list[DocumentCard]:
    """The documents of a unit, newest first, each with whether it still stands. Two queries."""
    reader = reader_of(person)
    newest: set[tuple[str, str]] = set()
    cards = []
    requests = list(queue.requests_of(unit))
    remakes, lost = queue.remakes_of(requests), _stood_in_for(requests)
    ended = _withdrawn(record)
    for request in requests:
        kind = kind_named(request.kind)
        line = (request.kind, kind.succession(request.cause))
        replaced = request.state == State.DONE and (line in newest or request.pk in lost)
        if request.state == State.DONE and kind.replaces_earlier:
            newest.add(line)
        stoppable = may_stop(person, request, seen)
        card = _card(request, reader, replaced=replaced, may_stop=stoppable)
        card = replace(card, may_open=queue.may_open(request, seen.roles))
        if request.kind == "certificate" and release_of(request.cause) in ended:
            card = replace(card, withdrawn=True)
        cards.append(_with_remake(card, remakes.get(request.pk), reader))
    return cards


def cards_by(person: Person, kind: str) -> list[DocumentCard]:
    """The newest documents a person requested that are not of one unit. Two queries."""
    requests = list(queue.requests_by(person).filter(kind=kind)[:SHOWN])
    remakes, lost = queue.remakes_of(requests), _stood_in_for(requests)
    reader = reader_of(person)
    return [
        _with_remake(
            _card(request, reader, replaced=request.pk in lost, may_stop=True),
            remakes.get(request.pk),
            reader,
        )
        for request in requests
    ]


def _card(
    request: DocumentRequest, reader: Reader, *, replaced: bool, may_stop: bool
) -> DocumentCard:
    return DocumentCard(
        request=request,
        title=say(reader, kind_named(request.kind).title),
        language=_language(request),
        state=document_state(request.state, reader),
        failure=queue.failure_of(request, reader),
        replaced=replaced,
        may_stop=may_stop,
        waits=_waits(request, reader),
    )


def _waits(request: DocumentRequest, reader: Reader) -> str:
    """Since when a document has waited, where that is unusually long."""
    if not queue.waits_long(request):
        return ""
    here = replace(reader, time_zone=timezone.get_current_timezone_name())
    return waiting_text(request.due, here, worker_away=queue.worker_away_since() is not None)


def _withdrawn(record: Record) -> set[str]:
    """Ids of the releases that were taken back, and not only followed by another."""
    return {
        one.event.release
        for one in record.releases
        if one.withdrawn and one.cause is not Cause.RELEASED_AGAIN
    }


def _stood_in_for(requests: Iterable[DocumentRequest]) -> set[UUID | None]:
    """Ids of the documents that others of these stand in for."""
    return {one.replaces_id for one in requests if one.instead and one.state == State.DONE}


def _with_remake(card: DocumentCard, job: Remake | None, reader: Reader) -> DocumentCard:
    """The card with what became of making its file again, if that was ever asked for."""
    if job is None:
        return card
    number = job.stand_in.number if job.stand_in else ""
    text = queue.failure_of(job, reader) or remake_text(job.found, job.outcome, number, reader)
    return replace(card, remade=text, being_remade=job.state in queue.UNFINISHED)


def _language(request: DocumentRequest) -> tuple[str, str]:
    language = request.parameters.get("language", ENGLISH.language)
    return language, dict(settings.LANGUAGES)[language]


def lacking(unit: UUID, record: Record, *, before_handover: bool = False) -> tuple[str, ...]:
    """What a unit's registration lacks; before the handover, what it will lack afterward."""
    if record.handover is None and not before_handover:
        return ()
    if as_recorded(record).state == "accepted":
        return ()
    return tuple(item for item in missing(unit) if record.handover or item not in OF_THE_HANDOVER)


def amends(record: Record, seen: Seen, lacks: tuple[str, ...]) -> bool:
    """Whether this person may edit the buyer's data, and doing so adds an item that is missing."""
    known = record.buyer is not None and not any(item == "buyer name" for item in lacks)
    return (
        known and bool(seen.roles & AmendBuyer.permission.roles) and any(map(of_the_buyer, lacks))
    )


def may_register(record: Record, seen: Seen, state: str, cards: list[DocumentCard]) -> bool:
    """Whether this person may request the next version of the registration."""
    registrations = [card for card in cards if card.request.kind == "registration"]
    made = any(card.done for card in registrations)
    pending = any(card.moves for card in registrations)
    office = bool(seen.roles & kind_named("registration").asked_by)
    return office and made and not pending and bool(record.handover) and state != "accepted"
