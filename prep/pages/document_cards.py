"""Document cards: the documents of a unit as pages show them, with what to do next."""

from dataclasses import dataclass
from typing import Final
from uuid import UUID

from prep.models import Person
from prep.queries.units import Seen
from prep.record.buyer.commands import AmendBuyer
from prep.record.unit.state import Record
from reports import queue
from reports.models import DocumentRequest, State
from reports.queue import may_stop
from reports.registration.document import missing
from reports.registration.facts import of_the_buyer
from reports.registry import kind_named

SHOWN: Final = 20
WORDS: Final = {
    State.WAITING: "waits to be made",
    State.WORKING: "is being made",
    State.FAILED: "was not made",
    State.CANCELLED: "was stopped",
}
# Items a registration lacks only until the handover.
OF_THE_HANDOVER: Final = frozenset({"release", "handover", "delivery date"})


@dataclass(frozen=True)
class DocumentCard:
    """A document as a page shows it: its request, and what this person may do with it."""

    request: DocumentRequest
    replaced: bool
    may_stop: bool

    @property
    def title(self) -> str:
        """The title of the document's kind."""
        return kind_named(self.request.kind).title

    @property
    def words(self) -> str:
        """The state in words, for a document that is not finished."""
        return WORDS.get(State(self.request.state), "")

    @property
    def done(self) -> bool:
        """Whether it can be opened."""
        return self.request.state == State.DONE

    @property
    def moves(self) -> bool:
        """Whether its state will change by itself."""
        return self.request.state in {State.WAITING, State.WORKING}


def cards_of(unit: UUID, person: Person, seen: Seen) -> list[DocumentCard]:
    """The documents of a unit, newest first; older ones are marked as replaced. One query."""
    newest: set[tuple[str, str]] = set()
    cards = []
    for request in queue.requests_of(unit):
        kind = kind_named(request.kind)
        line = (request.kind, kind.succession(request.cause))
        replaced = request.state == State.DONE and line in newest
        if request.state == State.DONE and kind.replaces_earlier:
            newest.add(line)
        cards.append(DocumentCard(request, replaced, may_stop(person, request, seen)))
    return cards


def cards_by(person: Person, kind: str) -> list[DocumentCard]:
    """The newest documents a person requested that are not of one unit. One query."""
    requests = queue.requests_by(person).filter(kind=kind)[:SHOWN]
    return [DocumentCard(request, replaced=False, may_stop=True) for request in requests]


def lacking(unit: UUID, record: Record, *, before_handover: bool = False) -> tuple[str, ...]:
    """What a unit's registration lacks; before the handover, what it will lack afterward."""
    if record.handover is None and not before_handover:
        return ()
    if record.registration and getattr(record.registration[-1][0], "accepted", False):
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
