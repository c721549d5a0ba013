"""Loading the facts a command needs, by field, by the record, or from a named set.

A loader says what its fact is, which versions of it the event keeps, and what is to be stored once
the command is carried out.
"""

from typing import Any, Final
from uuid import UUID, uuid5

import msgspec

from prep.actions.accounts.fingerprints import fingerprint
from prep.actions.accounts.tokens import new_token
from prep.actions.beside_the_log.buyer_details import amended_details, new_details
from prep.actions.beside_the_log.checkpoint_keepers import new_keeper
from prep.actions.beside_the_log.guests import new_guest
from prep.actions.beside_the_log.handover_recipients import new_recipient
from prep.actions.facts import people, yard_days
from prep.actions.facts.documents import kinds_registered, published_models, published_procedures
from prep.actions.facts.fact import Asked, Fact, Loader
from prep.actions.locks import share
from prep.actions.wordings import place_if_new, shown_wording
from prep.models import (
    Buyer,
    CheckpointKeeper,
    Event,
    Instrument,
    LogoFile,
    MachineModel,
    Manufacturer,
    Photo,
    ProcedureRevision,
    Unit,
)
from prep.queries.instruments import instrument_history
from prep.queries.manufacturers import all_manufacturers, manufacturer
from prep.queries.models import model_facts, tractor_facts
from prep.queries.people import member_named, person_named, roles_on_record
from prep.queries.procedures import (
    revision_for,
    revision_in_force,
)
from prep.queries.records import record_of
from prep.queries.tokens import system_named
from prep.record import needs
from prep.record.buyer.commands import AddBuyer
from prep.record.command import Need
from prep.record.facts import BuyerRef, InstrumentFacts, ManufacturerFacts, ModelFacts, TractorFacts
from prep.record.instrument.known import KnownInstrument
from prep.record.instrument.needs import INSTRUMENT
from prep.record.moments import Bound
from prep.record.needs import KnownPlate, Plates
from prep.record.person.needs import (
    CARD_NUMBER,
    CONTACT,
    FREE_NAME,
    INVITATION,
    LEFT_ALONE,
    NEW_PERSON,
    NEW_SYSTEM,
    ROLES_END,
    SECRETS,
)
from prep.record.procedure.checks.known import (
    IN_FORCE,
    INSTRUMENT_KINDS,
    PUBLISHED_MODELS,
)
from prep.record.procedure.document import Procedure
from prep.record.procedure.needs import PROCEDURE_IN_FORCE, REVISION, PinnedProcedure
from prep.record.refusal import Refusal
from prep.record.roles import Actor
from prep.record.site.commands import AddKeeper
from prep.record.site.details import Logo
from prep.record.site.needs import LOGO
from prep.record.token.commands import IssueSystemToken
from prep.record.token.needs import NEW_TOKEN, NewToken
from prep.record.unit.joining import JOINING, Joining
from prep.rules.identity.look_alikes import look_alike_key, plain_key
from prep.words.reader import ENGLISH


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

    It is one of the unit's yard: those who correct or erase the buyer there have all the units.
    """
    row = share(Buyer, asked.command.buyer)
    if row is None or row.erased or row.site_id != asked.site:
        raise Refusal("no-such-buyer", field="buyer")
    bound = _on_record(asked, "buyer", str(row.pk), "")
    return Fact(BuyerRef(str(row.pk), row.digest()), bound)


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
    stored = asked.picture
    assert stored is not None  # `perform` stores the picture of each command with an attachment
    photo = stored.as_photo(uuid5(asked.submission.id, "photo"))
    people = getattr(asked.command, "people", False)

    def keep() -> None:
        row = Photo(
            id=photo.id,
            unit_id=UUID(asked.target),
            digest=photo.digest,
            small=photo.small,
            people=people,
        )
        row.save(force_insert=True)
        stored.settle()

    return Fact(photo, keep=keep)


def _logo(asked: Asked) -> Fact:
    stored = asked.picture
    assert stored is not None  # `perform` stores the picture of each command with an attachment
    large, small = stored.read.large, stored.read.small

    def keep() -> None:
        LogoFile.objects.get_or_create(digest=large.digest, defaults={"small": small.digest})
        stored.settle()

    return Fact(Logo(digest=large.digest, small=small.digest), keep=keep)


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
    of_maker = Unit.objects.filter(manufacturer=_named_maker(asked).id, joined_into="")
    alike = of_maker.filter(look_alike_key=look_alike_key(serial)).exclude(pk=asked.target)
    same = None
    look_alikes = []
    for unit, key, known in alike.values_list("pk", "serial_key", "serial"):
        if key == plain_key(serial):
            same = KnownPlate(str(unit), known)
        else:
            look_alikes.append(known)
    return Fact(Plates(same, look_alikes), versions={"serials": of_maker.count()})


def _joining(asked: Asked) -> Fact:
    """The record that ends. Its row is locked with that of the unit it is joined into."""
    joined: UUID = asked.command.joined
    record = record_of(joined)
    site = Unit.objects.filter(pk=joined).values_list("site_id", flat=True).first()
    state = asked.state
    own = str(joined) == asked.target
    joining = Joining(record, site == asked.site, own, asked.target, state.maker, state.serial)
    return Fact(joining, versions={f"unit {joined}": record.version})


def _recipient(asked: Asked) -> Fact:
    row = new_recipient(asked.submission.id, asked.command.recipient)
    return Fact(row.digest(), keep=lambda: row.save(force_insert=True))


def _guest(asked: Asked) -> Fact:
    """The salted digest of a guest's name, and the row that is kept of the guest."""
    row = new_guest(asked.target, asked.command)
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


def _new_token(asked: Asked) -> Fact:
    """A new token of whoever asks, or of a system account. Its text is shown once."""
    command = asked.command
    system = isinstance(command, IssueSystemToken)
    bearer = system_named(command.system) if system else asked.person
    assert bearer is not None  # the console gives no such command
    made = new_token(
        bearer,
        UUID(asked.target),
        name=command.name,
        scopes=command.scopes,
        site=asked.site,
        days=command.days,
    )
    row = made.token
    who = Actor(str(bearer.pk), str(bearer), frozenset())
    new = NewToken(who, asked.site, row.expires, row.fingerprint)
    return Fact(new, keep=lambda: row.save(force_insert=True), shown_once=made.text)


def _device_key(asked: Asked) -> Fact:
    return Fact(fingerprint(asked.target, "key", asked.command.key_digest))


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
    needs.ZONE: Loader(yard_days.zone),
    needs.PICTURE: Loader(_picture),
    needs.MEMBER: Loader(people.member, named_set="members"),
    SECRETS: Loader(people.new_secrets),
    CONTACT: Loader(people.contact),
    CARD_NUMBER: Loader(people.card_number),
    FREE_NAME: Loader(people.free_name),
    INVITATION: Loader(people.invitation),
    NEW_PERSON: Loader(people.new_person),
    NEW_SYSTEM: Loader(people.new_system),
    LEFT_ALONE: Loader(people.yards_left_alone, named_set="members"),
    ROLES_END: Loader(people.roles_end, named_set="members"),
    LOGO: Loader(_logo),
    needs.DECIMAL_COMMA: Loader(_decimal_comma),
    # Before the rows of the streams, because it may take the lock of a named set.
    needs.WORDING: Loader(_wording, before_lock=True),
    PROCEDURE_IN_FORCE: Loader(_procedure_in_force, named_set="procedures"),
    needs.PLATES: Loader(_plates, named_set="serials"),
    needs.FIRST_OF_SHIPMENT: Loader(yard_days.first_of_shipment, named_set="serials"),
    JOINING: Loader(_joining),
    needs.DEVICE_KEY: Loader(_device_key),
    needs.KEEPER: Loader(_keeper),
    PUBLISHED_MODELS: Loader(published_models, named_set="models"),
    INSTRUMENT_KINDS: Loader(kinds_registered),
    IN_FORCE: Loader(published_procedures, named_set="procedures"),
    needs.RECIPIENT: Loader(_recipient),
    needs.GUEST: Loader(_guest),
    needs.PARTICULARS: Loader(_particulars),
    NEW_TOKEN: Loader(_new_token),
}
