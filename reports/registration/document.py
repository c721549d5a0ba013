"""The warranty registration of a handed-over unit: a bundle that its manufacturer can verify.

A version is fixed by what caused it: the handover makes version 1, and each resend the next. What
it may know is cut at a checkpoint, so that the same version made again has the same bytes. The
first is cut at the newest checkpoint each time it is tried, so that it holds what lacked before,
and stays cut there once it is made; the next are cut where they were asked for.
"""

from dataclasses import dataclass, replace
from typing import Any, Final
from uuid import UUID

import msgspec
from django.utils import timezone

from prep.actions import sealing
from prep.actions.documents import command_of
from prep.models import Checkpoint, Event, Recipient, Unit
from prep.queries import log
from prep.queries.personal.buyers import particulars_of
from prep.queries.records import fold_history, record_of
from prep.record.personal import Personal
from prep.record.refusal import Refusal
from prep.record.unit.commands import registrations
from prep.record.unit.state import Record
from prep.words import dates
from prep.words.reader import ENGLISH, Reader, say
from reports.bundles import columns, contents, contents_events, csv_tables, readme
from reports.certificate.cause import in_english
from reports.document_kind import (
    Accepted,
    BuiltFile,
    Correction,
    Held,
    NotYetError,
    Progress,
    Request,
    stand_in_of,
    temporary_file,
)
from reports.holdings import held_by
from reports.models import DocumentRequest, State
from reports.numbers import drawn_number
from reports.registration import schema
from reports.registration.facts import Naming, Sale, facts, missing_in
from reports.registration.pdf import draw

LETTER: Final = "R"  # begins the numbers of its documents
MEDIA_TYPE: Final = "application/zip"
STEPS: Final = 4  # of progress, shown while it is made
# The manufacturer reads it, whatever the dealership speaks, and its form is in English.
MANUFACTURER: Final = ENGLISH


@dataclass(frozen=True)
class Version:
    """One version of a unit's registration, and what it is made from."""

    naming: Naming
    sale: Sale
    certificate: DocumentRequest
    cut: contents.Cut


def missing(unit: UUID) -> tuple[str, ...]:
    """Items that the registration of a unit still lacks, each with what to do about it."""
    record = record_of(unit)
    return missing_in(_sale(unit, record))


class Parameters(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Parameters of a registration.

    `again` asks for the next version, with all that was added meanwhile; earlier versions stay.
    """

    again: bool = False


def accept(request: Request) -> Accepted:
    """Accept a request for a handover's registration, or for the next version of it.

    Raises Refusal before the handover, after the manufacturer accepted it, and, for a next version,
    where something is missing.
    """
    unit = request.unit
    assert unit is not None  # the scope of this kind
    record = record_of(unit)
    if record.handover is None:
        raise Refusal("not-handed-over")
    handover = record.handover[0].handover
    versions = [one for one, _ in record.documents if one.document_kind == "registration"]
    version = 1 + sum(not one.instead for one in versions)
    if not request.parameters.again or version == 1:
        return Accepted(handover, {})
    if registrations.registration(record, timezone.now().date()).state == "accepted":
        raise Refusal("already-accepted")
    _refuse_incomplete(missing_in(_sale(unit, record)))
    checkpoint = sealing.seal()
    assert checkpoint is not None  # a handover is in the log
    return Accepted(f"{handover}/{version}", {"version": version, "size": checkpoint.size})


def corrected(correction: Correction) -> list[Accepted]:
    """The next version, where one was issued with the misread plate; else the first is right."""
    record = correction.record
    issued = sum(event.document_kind == "registration" for event, _ in record.documents)
    if record.handover is None or not issued:
        return []
    version = issued + 1
    parameters = {"version": version, "size": correction.position + 1}
    return [Accepted(f"{record.handover[0].handover}/{version}", parameters)]


def build(request: DocumentRequest, progress: Progress) -> BuiltFile:
    """Build the registration bundle; raises Refusal with each missing item before it begins."""
    progress(0, STEPS)
    sealing.seal()
    version = _version(request)
    _keep_cut(request, version.cut)
    reader = replace(MANUFACTURER, time_zone=version.sale.site.time_zone)
    form = facts(version.sale, version.naming, reader)
    progress(1, STEPS)
    target = temporary_file(request, ".zip")
    with contents.collecting(target.parent) as payload:
        issue = _collect(payload, version, form, reader)
        progress(2, STEPS)
        about = readme.registration(form.number, _about(form, version.naming, reader), reader)
        bag = contents.pack(target, issue, payload, about, _info(form, reader))
    progress(STEPS, STEPS)
    assert version.sale.record.buyer is not None  # or something would be missing
    buyer = Held(Personal.BUYER, version.sale.record.buyer.id)
    holds = frozenset({buyer, *payload.holds})
    return BuiltFile(target, f"{issue.name}.zip", form.number, MEDIA_TYPE, bag, holds)


def _collect(
    payload: contents.Payload, version: Version, form: schema.RegistrationForm, reader: Reader
) -> contents.Issue:
    """Write the payload of the bundle, the files below `data/`; returns what is to be signed."""
    record, unit = version.sale.record, str(version.sale.unit)
    payload.refer("certificate.pdf", str(version.certificate.file))
    payload.holds |= held_by(version.certificate)
    payload.put("registration.pdf", draw(form, reader))
    payload.put("registration.json", schema.as_json(form))
    payload.put("registration.schema.json", schema.SCHEMA.read_bytes())
    with payload.table("readings.csv", columns.READINGS) as table:
        table.add(csv_tables.reading_rows(unit, record, reader))
    with payload.table("sign_offs.csv", columns.SIGN_OFFS) as table:
        table.add(csv_tables.sign_off_rows(unit, record, reader))
    with payload.table("flags.csv", columns.FLAGS) as table:
        table.add(csv_tables.flag_rows(unit, record, reader))
    photos = [fault.name for fault in contents.put_photos(payload, record)]
    written = contents_events.put_events(payload, version.cut, {unit})
    entries = [fault.position for fault in written.faults]
    if photos or entries:
        raise Refusal("record-damaged", photos=photos, entries=entries)
    contents.put_checkpoint(payload, version.cut.checkpoint)
    return contents.Issue("registration", form.number, version.cut, written.streams)


def _about(form: schema.RegistrationForm, naming: Naming, reader: Reader) -> str:
    """Description of the bundle for its README, which must not name the buyer."""
    unit = form.unit
    about = say(
        reader,
        "{dealer} registers the warranty of {machine}, serial {serial}, handed over on {day}. "
        "Registration {number}, version {version}.",
        dealer=form.dealer.name,
        machine=contents.machine(unit.maker, unit.model_name),
        serial=unit.serial,
        day=dates.short_day(form.delivery.date, reader),
        number=form.number,
        version=form.version,
    )
    replaced = say(reader, "It replaces {number}.", number=form.replaces) if form.replaces else ""
    stood_in = naming.stands_in.text(reader) if naming.stands_in else ""
    return " ".join(filter(None, [about, replaced, stood_in]))


def _info(form: schema.RegistrationForm, reader: Reader) -> list[tuple[str, str]]:
    """The labels of bag-info.txt (RFC 8493, 2.2.2), without personal data."""
    unit = form.unit
    description = say(
        reader, "Warranty registration of {maker} {serial}", maker=unit.maker, serial=unit.serial
    )
    return [
        ("Source-Organization", form.dealer.name),
        ("External-Description", description),
        ("External-Identifier", form.number),
        ("Internal-Sender-Identifier", unit.id),
        ("Bagging-Date", form.delivery.date),
        ("Bag-Software-Agent", contents.MADE_BY),
    ]


def _version(request: DocumentRequest) -> Version:
    assert request.unit_id is not None  # a registration is always asked for one unit
    unit: UUID = request.unit_id
    stated: dict[str, Any] = request.parameters
    certificate = _certificate(request)
    handover = request.cause.partition("/")[0]
    needed = [
        _position(unit, command=UUID(handover), kind="unit.handed_over"),
        _position(unit, command=command_of(certificate.pk), kind="document.issued"),
        stated.get("size", 1) - 1,
    ]
    reaching = Checkpoint.objects.filter(size__gt=max(needed)).order_by("size")
    checkpoint = reaching.first() if _cut_stands(request) else reaching.last()
    if checkpoint is None:
        raise NotYetError("The log is not sealed as far as this registration reaches.")
    cut = contents.Cut(checkpoint)
    record = fold_history(cut.history(unit))
    sale = _sale(unit, record, certificate, handover_at=needed[0], checkpoint=checkpoint)
    _refuse_incomplete(missing_in(sale))
    naming = Naming(
        number=version_number(request),
        version=stated.get("version", 1),
        replaces=request.corrects.number if request.corrects else "",
        stands_in=stand_in_of(request),
    )
    return Version(naming, sale, certificate, cut)


def _cut_stands(request: DocumentRequest) -> bool:
    """Whether a version's cut is fixed: a later one's when requested, the first's once made."""
    fixed = request.state == State.DONE or bool(request.instead)
    return fixed or "version" in request.parameters


def _keep_cut(request: DocumentRequest, cut: contents.Cut) -> None:
    """Store the cut of a first version, if this worker's claim stands; a later claim cuts again."""
    if not _cut_stands(request):
        request.parameters = {**request.parameters, "size": cut.checkpoint.size}
        mine = DocumentRequest.objects.filter(pk=request.pk, worker=request.worker)
        mine.update(parameters=request.parameters)


def version_number(request: DocumentRequest) -> str:
    """Registration number of a version."""
    version = "" if "/" in request.cause else "/1"
    return drawn_number(LETTER, f"{request.seed}{version}")


def parts(request: DocumentRequest) -> list[DocumentRequest]:
    """The documents whose files a registration holds."""
    return [_certificate(request)]


def _certificate(request: DocumentRequest) -> DocumentRequest:
    """The unit's newest delivery certificate in English, made on release, as of the request.

    Where another stands in for it by now, that one. Raises Refusal where there is none, NotYetError
    while it is being made.
    """
    stopped = (State.FAILED, State.CANCELLED)
    made = DocumentRequest.objects.filter(
        unit=request.unit_id, kind="certificate", created__lte=request.first.created
    ).exclude(state__in=stopped)
    certificate = in_english(made).order_by("-created").first()
    if certificate is None:
        raise _incomplete(("delivery certificate",))
    if certificate.state != State.DONE:
        raise NotYetError("The delivery certificate is still being made.")
    return certificate.standing


def _position(unit: UUID, *, command: UUID, kind: str) -> int:
    """Position of a unit's event in the log; raises NotYetError while the log does not hold it."""
    event = Event.objects.filter(
        stream="unit", stream_id=str(unit), command=command, kind=kind
    ).first()
    position = log.position_of(event.pk) if event else None
    if position is None:
        raise NotYetError(f"The log does not hold the event {kind} of this unit yet.")
    return position


def _sale(unit: UUID, record: Record, *more: Any, **places: Any) -> Sale:
    """Data for the registration form; personal data is read here and nowhere else."""
    row = Unit.objects.select_related("site").get(pk=unit)
    buyer = particulars_of(record.buyer) if record.buyer else None
    recipient = (
        Recipient.objects.filter(pk=record.handover[0].handover).first()
        if record.handover
        else None
    )
    return Sale(unit, record, row.site, buyer, recipient, *more, **places)


def _refuse_incomplete(lacking: tuple[str, ...]) -> None:
    if lacking:
        raise _incomplete(lacking)


def _incomplete(lacking: tuple[str, ...]) -> Refusal:
    return Refusal("registration-incomplete", missing=lacking)
