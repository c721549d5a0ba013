"""Loading the facts a command needs, by field, by the record, or from a named set.

A loader says what its fact is, which versions of it the event keeps, and what is to be stored once
the command is carried out, or removed again where it is not.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any, Final
from uuid import UUID
from zoneinfo import ZoneInfo

import msgspec

from prep.actions.beside_the_log.buyer_details import amended_details, new_details
from prep.actions.beside_the_log.checkpoint_keepers import new_keeper
from prep.actions.beside_the_log.handover_recipients import new_recipient
from prep.actions.beside_the_log.photo_store import store_picture
from prep.actions.locks import share
from prep.actions.log import Place
from prep.actions.submission import Submission
from prep.actions.wordings import place_if_new, shown_wording
from prep.models import (
    Buyer,
    CheckpointKeeper,
    Event,
    Instrument,
    MachineModel,
    Manufacturer,
    Person,
    ProcedureRevision,
    Site,
    Unit,
)
from prep.queries.instruments import instrument_history
from prep.queries.manufacturers import all_manufacturers, manufacturer
from prep.queries.models import all_model_facts, model_facts, tractor_facts
from prep.queries.people import member_named, person_named, roles_at, roles_on_record
from prep.queries.procedures import revision_for, revision_in_force
from prep.record import needs
from prep.record.buyer.commands import AddBuyer
from prep.record.command import Command, Facts, Need
from prep.record.facts import BuyerRef, InstrumentFacts, ManufacturerFacts, ModelFacts, TractorFacts
from prep.record.instrument.known import KnownInstrument
from prep.record.instrument.needs import INSTRUMENT
from prep.record.moments import Bound
from prep.record.needs import KnownPlate, Plates
from prep.record.procedure.document import Procedure
from prep.record.procedure.needs import PROCEDURE_IN_FORCE, REVISION, PinnedProcedure
from prep.record.refusal import Refusal
from prep.record.roles import Actor
from prep.record.site.commands import AddKeeper
from prep.rules.identity.look_alikes import look_alike_key, plain_key
from prep.words.reader import ENGLISH


def _nothing() -> None:
    """Nothing to store or to remove."""


@dataclass(frozen=True)
class Fact:
    """A loaded fact: its value, the versions of what was read, and what follows.

    `events` are those of further streams that have to stand in the log before the command's own.
    `bound` is when what was read came on record: nothing that refers to it happened before.
    """

    value: Any
    bound: Bound | None = None
    versions: Mapping[str, int] = field(default_factory=dict)
    events: Sequence[tuple[Place, Sequence[msgspec.Struct]]] = ()
    keep: Callable[[], None] = _nothing
    discard: Callable[[], None] = _nothing


@dataclass(frozen=True)
class Asked:
    """For which command a fact is loaded. `state` is None before the streams are locked.

    `in_past` says that the command names a moment at which it happened, which is `happened` once
    it is settled.
    """

    command: Any
    target: str
    site: str
    person: Person | None
    submission: Submission
    attachment: bytes | None
    zone: str = ""
    in_past: bool = False
    happened: datetime | None = None
    state: Any = None


@dataclass(frozen=True)
class Loader:
    """How a fact is loaded: before the streams are locked, or after; and the set it reads."""

    load: Callable[[Asked], Fact]
    before_lock: bool = False
    named_set: str = ""


def _named_maker(asked: Asked) -> ManufacturerFacts:
    """The manufacturer a command names, or the one the unit has where it names none."""
    command = asked.command
    stays = "" if command.creates else asked.state.manufacturer
    return manufacturer(command.maker or stays)


def _maker(asked: Asked) -> Fact:
    facts = _named_maker(asked)
    return Fact(facts, versions=_version_of(Manufacturer, "manufacturer", facts.id))


def _manufacturers(asked: Asked) -> Fact:
    """The others of the register, for one that is added or corrected."""
    everyone = all_manufacturers()
    others = [one for one in everyone if one.id != asked.target]
    return Fact(others, versions={"manufacturers": len(everyone)})


def _model(asked: Asked) -> Fact:
    code = asked.command.model
    if not code:
        return Fact(None)
    return _of_models(asked, code, model_facts(code))


def _tractor(asked: Asked) -> Fact:
    code = asked.command.tractor
    return _of_models(asked, code, tractor_facts(code))


def _of_models(asked: Asked, code: str, facts: ModelFacts | TractorFacts) -> Fact:
    bound = _on_record(asked, "model", code, facts.name)
    return Fact(facts, bound, _version_of(MachineModel, "model", code))


def _on_record(asked: Asked, stream: str, target: str, name: str, said: str = "") -> Bound | None:
    """When the first event of a stream happened; None for a command that happens now.

    `said` is a text in the body of the event that is meant, where that is a later one.
    """
    if not asked.in_past:
        return None
    events = Event.objects.filter(stream=stream, stream_id=target, body__contains=said)
    begun = events.order_by("version").values_list("happened", flat=True).first()
    if begun is None:
        return None
    return Bound(begun, Refusal(f"happened-before-{stream}", name=name, begun=begun))


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
    bound = _on_record(asked, "instrument", code, facts.name)
    recorded = instrument_history(code) if asked.in_past else ()
    return Fact(KnownInstrument(facts, recorded), bound, {f"instrument {code}": row.version})


def _zone(asked: Asked) -> Fact:
    """The yard's time zone; one query where nobody's standing there was looked up."""
    zone = asked.zone or Site.objects.values_list("time_zone", flat=True).get(pk=asked.site)
    return Fact(ZoneInfo(zone))


def _roles_then(asked: Asked) -> Fact:
    """The roles, by the record of that time, of whoever made an entry that happened earlier."""
    if asked.happened is None or asked.person is None:
        return Fact(None)
    paper = asked.command.paper
    username = paper.writer if paper else asked.submission.author
    person = person_named(username) if username else asked.person
    return Fact(roles_on_record(asked.site, str(person.pk), asked.happened))


def _buyer(asked: Asked) -> Fact:
    """The buyer, shared: nobody corrects the details while the unit is sold to them.

    It may be a buyer of another yard where the person works too.
    """
    row = share(Buyer, asked.command.buyer)
    if row is None or row.erased or not _known_to(asked, row):
        raise Refusal("no-such-buyer", field="buyer")
    bound = _on_record(asked, "buyer", str(row.pk), "")
    return Fact(BuyerRef(str(row.pk), row.digest()), bound)


def _known_to(asked: Asked, buyer: Buyer) -> bool:
    if buyer.site_id == asked.site:
        return True
    return asked.person is not None and bool(roles_at(asked.person, buyer.site_id))


def _procedure_in_force(asked: Asked) -> Fact:
    digest, procedure = revision_for(asked.state, asked.command.procedure)
    versions = {"procedures": ProcedureRevision.objects.count()}
    return Fact(PinnedProcedure(procedure, digest), _in_force(asked, digest, procedure), versions)


def _revision(asked: Asked) -> Fact:
    command = asked.command
    digest, procedure = revision_in_force(command.procedure, command.revision)
    return Fact(PinnedProcedure(procedure, digest), _in_force(asked, digest, procedure))


def _in_force(asked: Asked, digest: str, procedure: Procedure) -> Bound | None:
    """When a revision came into force."""
    return _on_record(asked, "procedure", procedure.procedure, procedure.title, digest)


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


def _plates(asked: Asked) -> Fact:
    """The other units of the manufacturer whose serial is the command's, or looks like it."""
    serial = asked.command.serial
    of_maker = Unit.objects.filter(manufacturer=_named_maker(asked).id)
    alike = of_maker.filter(look_alike_key=look_alike_key(serial)).exclude(pk=asked.target)
    same = None
    look_alikes = []
    for unit, key, known in alike.values_list("pk", "serial_key", "serial"):
        if key == plain_key(serial):
            same = KnownPlate(str(unit), known)
        else:
            look_alikes.append(known)
    return Fact(Plates(same, look_alikes), versions={"serials": of_maker.count()})


def _models(asked: Asked) -> Fact:
    return Fact(all_model_facts())


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


def _keeper(asked: Asked) -> Fact:
    """An address that gets checkpoints: a new one, or the one to remove."""
    command, of_site = asked.command, CheckpointKeeper.objects.filter(site_id=asked.target)
    if isinstance(command, AddKeeper):
        if of_site.filter(email__iexact=command.email).exists():
            raise Refusal("keeper-known", field="email")
        row = new_keeper(asked.target, asked.submission.id, command.email, command.language)
        reference = BuyerRef(str(row.pk), row.digest())
        return Fact(reference, keep=lambda: row.save(force_insert=True))
    known = of_site.filter(pk=command.keeper).first()
    if known is None:
        raise Refusal("no-such-keeper", field="keeper")
    return Fact(BuyerRef(str(known.pk), known.digest()))


LOADERS: Final[dict[Need[Any], Loader]] = {
    needs.MAKER: Loader(_maker, named_set="manufacturers"),
    needs.MANUFACTURERS: Loader(_manufacturers, named_set="manufacturers"),
    needs.MODEL: Loader(_model, named_set="models"),
    needs.TRACTOR: Loader(_tractor, named_set="models"),
    INSTRUMENT: Loader(_instrument, before_lock=True),
    needs.BUYER: Loader(_buyer, before_lock=True),
    REVISION: Loader(_revision),
    needs.WRITER: Loader(_writer),
    needs.ROLES_THEN: Loader(_roles_then),
    needs.ZONE: Loader(_zone),
    needs.PICTURE: Loader(_picture),
    needs.PERSON: Loader(_person),
    needs.DECIMAL_COMMA: Loader(_decimal_comma),
    # Before the rows of the streams, because it may take the lock of a named set.
    needs.WORDING: Loader(_wording, before_lock=True),
    PROCEDURE_IN_FORCE: Loader(_procedure_in_force, named_set="procedures"),
    needs.PLATES: Loader(_plates, named_set="serials"),
    needs.MODELS: Loader(_models, named_set="models"),
    needs.KEEPER: Loader(_keeper),
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
    def bounds(self) -> list[Bound]:
        """When each of what was read came on record."""
        return [fact.bound for fact in self._facts.values() if fact.bound]

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
