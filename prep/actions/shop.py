"""Sites, members, models, instruments and procedures: each change one event in its own stream."""

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Any

import msgspec
from django.db import IntegrityError, transaction
from django.db.models import Max

from prep.actions.writing import Command, append, context_of, request_digest
from prep.models import (
    Event,
    Instrument,
    MachineModel,
    Membership,
    Person,
    ProcedureRevision,
    Site,
)
from prep.queries.people import actor_at, sites_of
from prep.queries.shop import all_model_facts
from prep.record.documents_yaml import DocumentError, convert, load_procedure, load_yaml
from prep.record.facts import InstrumentFacts, ModelDocument
from prep.record.procedure_check import check
from prep.record.refusal import Refusal
from prep.record.roles import OFFICE, Actor, Context, Role
from prep.record.shop import (
    InstrumentRecorded,
    MemberAdded,
    MemberRemoved,
    ModelPublished,
    ProcedurePublished,
    ShopEvent,
    SiteOpened,
)

Index = Callable[[int, Context], None]


def _append(
    *,
    actor: Actor,
    command: Command,
    stream: str,
    stream_id: str,
    site: str,
    event: ShopEvent,
    index: Index,
) -> None:
    """One event at the end of a stream, and its index row, once per command."""
    request = request_digest([stream, stream_id, event])
    try:
        with transaction.atomic():
            earlier = Event.objects.filter(command=command.id)
            known = earlier.values_list("request", flat=True).first()
            if known == request:
                return
            last = Event.objects.filter(stream=stream, stream_id=stream_id).aggregate(
                version=Max("version"), recorded=Max("recorded")
            )
            context = context_of(command, actor, last["recorded"])
            version = last["version"] or 0
            append(stream, stream_id, version, [event], context, command, site, request)
            index(version + 1, context)
    except IntegrityError as collision:
        if Event.objects.filter(command=command.id).exclude(request=request).exists():
            raise Refusal(
                "command-reused", "This command id was already used for something else."
            ) from collision
        raise Refusal(
            "changed-meanwhile", "Somebody else changed this at the same moment. Look again."
        ) from collision


def _office(actor: Person, site: str) -> Actor:
    who = actor_at(actor, site)
    if not who.roles & OFFICE:
        raise Refusal("not-allowed", "Only an administrator or a service manager may do this.")
    return who


def _anywhere(actor: Person) -> Actor:
    """Models and procedures belong to no site: whoever runs an office anywhere may publish."""
    roles = frozenset(role for held in sites_of(actor).values() for role in held)
    if not roles & OFFICE:
        raise Refusal("not-allowed", "Only an administrator or a service manager may publish.")
    return Actor(str(actor.pk), str(actor), roles)


def open_site(
    *, founder: Person, command: Command, code: str, name: str, time_zone: str, dealer: str
) -> None:
    """Open a yard. `founder` becomes its first administrator.

    This is done from the command line only: whoever holds the machine holds the first key.
    """
    actor = Actor(str(founder.pk), str(founder), frozenset({Role.ADMINISTRATOR}))
    event = SiteOpened(code, name, time_zone, dealer)

    def index(version: int, context: Context) -> None:
        Site.objects.update_or_create(
            code=code,
            defaults={"name": name, "time_zone": time_zone, "dealer": dealer, "version": version},
        )

    _append(
        actor=actor,
        command=command,
        stream="site",
        stream_id=code,
        site=code,
        event=event,
        index=index,
    )
    if not Membership.objects.filter(site_id=code, person=founder).exists():
        _member(actor, Command(), code, founder, Role.ADMINISTRATOR)


def add_member(*, actor: Person, command: Command, site: str, person: Person, role: Role) -> None:
    """Give a person a role at a site."""
    who = actor_at(actor, site)
    if Role.ADMINISTRATOR not in who.roles:
        raise Refusal("not-allowed", "Only an administrator may give roles.")
    _member(who, command, site, person, role)


def _member(who: Actor, command: Command, site: str, person: Person, role: Role) -> None:
    def index(version: int, context: Context) -> None:
        Membership.objects.get_or_create(site_id=site, person=person, role=role.value)

    _append(
        actor=who,
        command=command,
        stream="site",
        stream_id=site,
        site=site,
        event=MemberAdded(str(person.pk), str(person), role.value),
        index=index,
    )


def remove_member(
    *, actor: Person, command: Command, site: str, person: Person, role: Role
) -> None:
    """Take a role from a person; what they signed stays signed."""
    who = actor_at(actor, site)
    if Role.ADMINISTRATOR not in who.roles:
        raise Refusal("not-allowed", "Only an administrator may take roles.")

    def index(version: int, context: Context) -> None:
        Membership.objects.filter(site_id=site, person=person, role=role.value).delete()

    _append(
        actor=who,
        command=command,
        stream="site",
        stream_id=site,
        site=site,
        event=MemberRemoved(str(person.pk), str(person), role.value),
        index=index,
    )


def publish_model(*, actor: Person, command: Command, text: str) -> ModelDocument:
    """Publish a model's or tractor's data from its YAML document."""
    who = _anywhere(actor)
    document = convert(load_yaml(text), ModelDocument)
    facts = document.facts()

    def index(version: int, context: Context) -> None:
        known = MachineModel.objects.filter(pk=document.model).first()
        if known and known.revision >= document.revision:
            raise Refusal(
                "revision-not-newer",
                f"{document.model} is already at revision {known.revision}. Publish a higher one.",
                field="revision",
            )
        MachineModel.objects.update_or_create(
            code=document.model,
            defaults={
                "sort": document.sort,
                "maker": document.maker,
                "name": document.name,
                "revision": document.revision,
                "version": version,
                "facts": msgspec.to_builtins(facts),
            },
        )

    _append(
        actor=who,
        command=command,
        stream="model",
        stream_id=document.model,
        site="",
        event=ModelPublished(facts, document.sort),
        index=index,
    )
    return document


def check_procedure(text: str) -> tuple[Any, dict[str, Any], str]:
    """A procedure read and checked; DocumentError with every problem and its path."""
    procedure, values, digest = load_procedure(text)
    problems = check(procedure, all_model_facts())
    if problems:
        raise DocumentError(problems)
    return procedure, values, digest


def publish_procedure(*, actor: Person, command: Command, text: str) -> str:
    """Bring a procedure revision into force; returns its digest. A revision never changes."""
    who = _anywhere(actor)
    procedure, values, digest = check_procedure(text)

    def index(version: int, context: Context) -> None:
        _newer(procedure.procedure, procedure.revision)
        ProcedureRevision.objects.create(
            digest=digest,
            procedure=procedure.procedure,
            revision=procedure.revision,
            title=procedure.title,
            model_codes=list(procedure.models),
            document=values,
            published=context.recorded,
        )

    _append(
        actor=who,
        command=command,
        stream="procedure",
        stream_id=procedure.procedure,
        site="",
        event=ProcedurePublished(procedure.procedure, procedure.revision, digest, values),
        index=index,
    )
    return digest


def _newer(procedure: str, revision: int) -> None:
    known = ProcedureRevision.objects.filter(procedure=procedure).aggregate(newest=Max("revision"))[
        "newest"
    ]
    if known is not None and revision <= known:
        raise Refusal(
            "revision-not-newer",
            f"{procedure} revision {known} is in force and never changes. Publish revision "
            f"{known + 1}.",
            field="revision",
        )


def record_instrument(
    *, actor: Person, command: Command, site: str, facts: InstrumentFacts, reason: str
) -> None:
    """Register an instrument, enter its calibration, or take it out of service."""
    who = _office(actor, site)
    if not reason.strip():
        raise Refusal("reason-missing", "Say what changed: registered, calibrated, dropped …")

    def index(version: int, context: Context) -> None:
        Instrument.objects.update_or_create(
            code=facts.code,
            defaults={
                "site_id": site,
                "kind": facts.kind,
                "name": facts.name,
                "due": facts.due,
                "out_of_service": facts.out_of_service,
                "version": version,
                "facts": msgspec.to_builtins(facts),
            },
        )

    _append(
        actor=who,
        command=command,
        stream="instrument",
        stream_id=facts.code,
        site=site,
        event=InstrumentRecorded(facts, site, reason),
        index=index,
    )


def load_instruments(text: str) -> list[tuple[str, InstrumentFacts]]:
    """Instruments of a YAML list, each with the site it belongs to."""
    values = load_yaml(text)
    rows: Sequence[Mapping[str, Any]] = (
        values["instruments"] if isinstance(values, dict) else values
    )
    return [
        (row["site"], convert({k: v for k, v in row.items() if k != "site"}, InstrumentFacts))
        for row in rows
    ]


def read_document(path: Path) -> str:
    """A document's text; Refusal where it cannot be read."""
    try:
        return path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as wrong:
        raise Refusal("no-such-file", f"{path} cannot be read: {wrong}.") from wrong
