"""Documents as pages show them, in plain words and with what to do next."""

from dataclasses import dataclass
from typing import Final
from uuid import UUID

from prep.models import Person
from prep.queries.units import Seen
from prep.record.roles import DESK, OFFICE
from prep.record.unit.state import Record
from reports import queue
from reports.models import DocumentRequest, State
from reports.queue import may_stop
from reports.registration.document import missing
from reports.registration.facts import Missing, of_the_buyer
from reports.registry import kind_named

SHOWN: Final = 20
WORDS: Final = {
    State.WAITING: "waits to be made",
    State.WORKING: "is being made",
    State.FAILED: "was not made",
    State.CANCELLED: "was stopped",
}
# What a registration lacks only because the handover is still to come.
OF_THE_HANDOVER: Final = frozenset({"release", "handover", "delivery date"})


@dataclass(frozen=True)
class Paper:
    """A document: its request, its name, and what this person may do with it."""

    request: DocumentRequest
    replaced: bool
    may_stop: bool

    @property
    def title(self) -> str:
        """What it is, in plain words."""
        return kind_named(self.request.kind).title

    @property
    def words(self) -> str:
        """Where it stands."""
        return WORDS.get(State(self.request.state), "")

    @property
    def done(self) -> bool:
        """Whether it can be opened."""
        return self.request.state == State.DONE

    @property
    def moves(self) -> bool:
        """Whether it will go on by itself."""
        return self.request.state in {State.WAITING, State.WORKING}


def papers_of(unit: UUID, person: Person, seen: Seen) -> list[Paper]:
    """Documents of a unit, newest first; of those that replace each other the newest is not marked.

    One query.
    """
    newest: set[str] = set()
    papers = []
    for request in queue.requests_of(unit):
        replaced = request.state == State.DONE and request.kind in newest
        if request.state == State.DONE and kind_named(request.kind).replaces_earlier:
            newest.add(request.kind)
        papers.append(Paper(request, replaced, may_stop(person, request, seen)))
    return papers


def papers_by(person: Person, kind: str) -> list[Paper]:
    """Documents of no single unit that a person asked for, newest first. One query."""
    asked = queue.requests_by(person).filter(kind=kind)[:SHOWN]
    return [Paper(request, replaced=False, may_stop=True) for request in asked]


def lacking(unit: UUID, record: Record, *, before_handover: bool = False) -> tuple[Missing, ...]:
    """What the registration of a unit lacks; before the handover, what will be lacking then."""
    if record.handover is None and not before_handover:
        return ()
    if record.registration and getattr(record.registration[-1][0], "accepted", False):
        return ()
    return tuple(
        item for item in missing(unit) if record.handover or item.name not in OF_THE_HANDOVER
    )


def amends(record: Record, seen: Seen, lacks: tuple[Missing, ...]) -> bool:
    """Whether this person may correct the buyer's particulars, and that adds what lacks."""
    kept = record.buyer is not None and not any(item.name == "buyer name" for item in lacks)
    return kept and bool(seen.roles & (DESK | OFFICE)) and any(map(of_the_buyer, lacks))


def may_register(record: Record, seen: Seen, state: str, papers: list[Paper]) -> bool:
    """Whether this person may have the registration made again, as its next version."""
    made = any(p.done and p.request.kind == "registration" for p in papers)
    going = any(p.moves and p.request.kind == "registration" for p in papers)
    office = bool(seen.roles & (DESK | OFFICE))
    return office and made and not going and bool(record.handover) and state != "accepted"
