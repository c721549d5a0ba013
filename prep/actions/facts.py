"""Loading the facts a command needs, by field, by the record, or from a named set.

A loader says what its fact is, which versions of it the event keeps, and what is to be stored once
the command is carried out, or removed again where it is not.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Final
from uuid import UUID

import msgspec

from prep.actions.beside_the_log.buyer_details import amended_details, new_details
from prep.actions.beside_the_log.handover_recipients import new_recipient
from prep.actions.beside_the_log.photo_store import store_picture
from prep.actions.locks import share
from prep.actions.log import Place
from prep.actions.submission import Submission
from prep.actions.wordings import place_if_new, shown_wording
from prep.models import Buyer, Instrument, MachineModel, Person, ProcedureRevision, Unit
from prep.queries.instruments import instrument_kinds
from prep.queries.models import machines, model_facts, models_for, tractor_facts
from prep.queries.people import member_named, person_named, roles_at
from prep.queries.procedures import (
    procedures_in_force,
    procedures_with_tractors,
    revision_for,
    revision_in_force,
)
from prep.record import needs
from prep.record.buyer.commands import AddBuyer
from prep.record.command import Command, Facts, Need
from prep.record.facts import BuyerRef, InstrumentFacts
from prep.record.procedure.checks.known import (
    IN_FORCE,
    INSTRUMENT_KINDS,
    PUBLISHED_MODELS,
    PublishedModels,
)
from prep.record.procedure.commands import PublishProcedure
from prep.record.procedure.needs import PROCEDURE_IN_FORCE, REVISION, PinnedProcedure
from prep.record.refusal import Refusal
from prep.record.roles import Actor
from prep.rules.identity.look_alikes import look_alike_key
from prep.words.reader import ENGLISH


def _nothing() -> None:
    """Nothing to store or to remove."""


@dataclass(frozen=True)
class Fact:
    """A loaded fact: its value, the versions of what was read, and what follows.

    `events` are those of further streams that have to stand in the log before the command's own.
    """

    value: Any
    versions: Mapping[str, int] = field(default_factory=dict)
    events: Sequence[tuple[Place, Sequence[msgspec.Struct]]] = ()
    keep: Callable[[], None] = _nothing
    discard: Callable[[], None] = _nothing


@dataclass(frozen=True)
class Asked:
    """For which command a fact is loaded. `state` is None before the streams are locked."""

    command: Any
    target: str
    site: str
    person: Person | None
    submission: Submission
    attachment: bytes | None
    state: Any = None


@dataclass(frozen=True)
class Loader:
    """How a fact is loaded: before the streams are locked, or after; and the set it reads."""

    load: Callable[[Asked], Fact]
    before_lock: bool = False
    named_set: str = ""


def _model(asked: Asked) -> Fact:
    code = asked.command.model
    if not code:
        return Fact(None)
    return Fact(model_facts(code), _version_of(MachineModel, "model", code))


def _tractor(asked: Asked) -> Fact:
    code = asked.command.tractor
    return Fact(tractor_facts(code), _version_of(MachineModel, "model", code))


def _version_of(table: Any, name: str, key: Any) -> dict[str, int]:
    version = table.objects.filter(pk=key).values_list("version", flat=True).get()
    return {f"{name} {key}": version}


def _instrument(asked: Asked) -> Fact:
    """The instrument at the unit's yard, shared: it cannot be taken out of service meanwhile."""
    code = asked.command.instrument
    if not code:
        return Fact(None)
    row = share(Instrument, code)
    if row is None or row.site_id != asked.site:
        raise Refusal("no-such-instrument", field="instrument", instrument=code)
    facts = msgspec.convert(row.facts, InstrumentFacts)
    return Fact(facts, {f"instrument {code}": row.version})


def _buyer(asked: Asked) -> Fact:
    """The buyer, shared: nobody corrects the details while the unit is sold to them.

    It may be a buyer of another yard where the person works too.
    """
    row = share(Buyer, asked.command.buyer)
    if row is None or row.erased or not _known_to(asked, row):
        raise Refusal("no-such-buyer", field="buyer")
    return Fact(BuyerRef(str(row.pk), row.digest()))


def _known_to(asked: Asked, buyer: Buyer) -> bool:
    if buyer.site_id == asked.site:
        return True
    return asked.person is not None and bool(roles_at(asked.person, buyer.site_id))


def _procedure_in_force(asked: Asked) -> Fact:
    digest, procedure = revision_for(asked.state, asked.command.procedure)
    versions = {"procedures": ProcedureRevision.objects.count()}
    return Fact(PinnedProcedure(procedure, digest), versions)


def _revision(asked: Asked) -> Fact:
    command = asked.command
    digest, procedure = revision_in_force(command.procedure, command.revision)
    return Fact(PinnedProcedure(procedure, digest))


def _writer(asked: Asked) -> Fact:
    """Whoever wrote the page an entry is copied from, with their roles at the yard."""
    paper = asked.command.paper
    if paper is None:
        return Fact(None)
    writer = member_named(paper.writer, asked.site)
    if writer is None or not writer.roles:
        raise Refusal("no-such-writer", field="paper.writer", writer=paper.writer)
    return Fact(writer)


def _picture(asked: Asked) -> Fact:
    stored = store_picture(UUID(asked.target), asked.submission.id, asked.attachment)
    return Fact(stored.picture, keep=stored.keep, discard=stored.discard)


def _person(asked: Asked) -> Fact:
    person = person_named(asked.command.person)
    return Fact(Actor(str(person.pk), str(person), frozenset()))


def _decimal_comma(asked: Asked) -> Fact:
    return Fact(asked.person.decimal_comma if asked.person else None)


def _wording(asked: Asked) -> Fact:
    language = asked.person.language if asked.person else ENGLISH.language
    wording, kept = shown_wording(asked.command.tag(), language)
    place = place_if_new(wording)
    return Fact(wording, events=[(place, [kept])] if place else ())


def _look_alikes(asked: Asked) -> Fact:
    """Serials of the same manufacturer that are easily mistaken for the one received."""
    maker, serial = asked.command.maker.strip(), asked.command.serial
    of_maker = Unit.objects.filter(maker=maker)
    alike = of_maker.filter(look_alike_key=look_alike_key(serial)).exclude(serial=serial)
    serials = list(alike.values_list("serial", flat=True))
    return Fact(serials, {"serials": of_maker.count()})


def _published_models(asked: Asked) -> Fact:
    """Of a procedure the models it is for and every tractor; of a model those it stands beside."""
    command = asked.command
    if isinstance(command, PublishProcedure):
        return Fact(models_for(command.draft().models))
    document = command.draft()
    if document.sort == "tractor":
        return Fact(PublishedModels())
    beside = {model for one in procedures_in_force((document.model,)) for model in one.models}
    return Fact(PublishedModels(machines(beside)))


def _instrument_kinds(asked: Asked) -> Fact:
    return Fact(instrument_kinds())


def _in_force(asked: Asked) -> Fact:
    command = asked.command
    if isinstance(command, PublishProcedure):
        return Fact(procedures_in_force(command.draft().models))
    document = command.draft()
    if document.sort == "tractor":
        return Fact(procedures_with_tractors())
    return Fact(procedures_in_force((document.model,)))


def _recipient(asked: Asked) -> Fact:
    row = new_recipient(asked.submission.id, asked.command.recipient)
    return Fact(row.digest(), keep=lambda: row.save(force_insert=True))


def _particulars(asked: Asked) -> Fact:
    command = asked.command
    made = (
        new_details(asked.target, command)
        if isinstance(command, AddBuyer)
        else amended_details(asked.target, command)
    )
    return Fact(made.details, keep=made.keep)


LOADERS: Final[dict[Need[Any], Loader]] = {
    needs.MODEL: Loader(_model, named_set="models"),
    needs.TRACTOR: Loader(_tractor, named_set="models"),
    needs.INSTRUMENT: Loader(_instrument, before_lock=True),
    needs.BUYER: Loader(_buyer, before_lock=True),
    REVISION: Loader(_revision),
    needs.WRITER: Loader(_writer),
    needs.PICTURE: Loader(_picture),
    needs.PERSON: Loader(_person),
    needs.DECIMAL_COMMA: Loader(_decimal_comma),
    # Before the rows of the streams, because it may take the lock of a named set.
    needs.WORDING: Loader(_wording, before_lock=True),
    PROCEDURE_IN_FORCE: Loader(_procedure_in_force, named_set="procedures"),
    needs.LOOK_ALIKES: Loader(_look_alikes, named_set="serials"),
    PUBLISHED_MODELS: Loader(_published_models, named_set="models"),
    INSTRUMENT_KINDS: Loader(_instrument_kinds),
    IN_FORCE: Loader(_in_force, named_set="procedures"),
    needs.RECIPIENT: Loader(_recipient),
    needs.PARTICULARS: Loader(_particulars),
}


class LoadedFacts:
    """The facts of one command, with what is to be done about them afterwards."""

    def __init__(self) -> None:
        self._facts: dict[str, Fact] = {}

    def load(self, command: type[Command], asked: Asked, *, before_lock: bool) -> None:
        """Load the facts that are due before the streams are locked, or after."""
        for need in command.needs:
            loader = LOADERS[need]
            if loader.before_lock == before_lock:
                self._facts[need.name] = loader.load(asked)

    @property
    def values(self) -> Facts:
        """What the decision reads."""
        return Facts({name: fact.value for name, fact in self._facts.items()})

    @property
    def versions(self) -> dict[str, int]:
        """The versions of what was read, for the event."""
        return {key: v for fact in self._facts.values() for key, v in fact.versions.items()}

    @property
    def events(self) -> list[tuple[Place, Sequence[msgspec.Struct]]]:
        """Events of further streams, to be appended before the command's own."""
        return [batch for fact in self._facts.values() for batch in fact.events]

    def keep(self) -> None:
        """Store what belongs beside the log."""
        for fact in self._facts.values():
            fact.keep()

    def discard(self) -> None:
        """Remove what was stored for a command that was not carried out."""
        for fact in self._facts.values():
            fact.discard()


def sets_read(command: type[Command]) -> list[str]:
    """The named sets a command's decision reads."""
    return [name for need in command.needs if (name := LOADERS[need].named_set)]
