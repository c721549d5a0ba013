"""Facts of a delivery certificate, taken from the record as it stood at the release.

Nothing that happened later changes them: the record is folded up to the release, the yard is named
as it was then, and the proof leads to the first checkpoint over it. The one exception is an erased
buyer, whose name is missing ever after.
"""

from dataclasses import dataclass, replace
from datetime import tzinfo
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

import msgspec

from prep.models import Buyer, Event, FormerParticulars
from prep.queries.log import wording_of
from prep.queries.personal.buyers import particulars_of
from prep.record import reference_events
from prep.record.log import canonical_json
from prep.record.site import events
from prep.record.unit import events as e
from prep.record.unit.stands_for import stands_for
from prep.record.unit.state import RELEASED, Cause, Record
from prep.words.reader import Reader, say
from prep.words.unit.flags import closing_text, flag_text
from prep.words.unit.signatures import ended_because
from prep.words.unit.stands_for import shown_item
from reports.certificate.cause import ENGLISH
from reports.certificate.facts import (
    CautionFacts,
    CertificateFacts,
    Corrected,
    DamageFacts,
    FlagFacts,
    PhotoFacts,
    Replaced,
    SheetFacts,
    ShortageFacts,
    Signed,
    StandsFor,
    StatementFacts,
    UnitFacts,
)
from reports.certificate.gather.drawings import explained
from reports.certificate.gather.history import ReleaseHistory, history_until
from reports.certificate.gather.proof import proof_of
from reports.certificate.gather.sheet import (
    box_in_words,
    concessions,
    not_applying,
    sections,
    signed,
)
from reports.document_kind import StandIn


@dataclass(frozen=True)
class IssuedCertificate:
    """An issued certificate by its number and the release it was made for."""

    number: str
    release: str


def certificate_facts(
    unit: UUID,
    release: str,
    *,
    number: str,
    address: str,
    language: str = ENGLISH,
    corrected: int = 0,
    replaces: IssuedCertificate | None = None,
    stands_in: StandIn | None = None,
) -> CertificateFacts:
    """Facts of the certificate of a release, in a language.

    `corrected` is the version of the correction of the plate that it is made for. `address` is the
    service's own, without a slash at its end; `replaces` the certificate that this one corrects,
    `stands_in` the one of the same release that it stands in for. Raises Refusal where the unit has
    no such release.
    """
    until_release = history_until(unit, release, corrected)
    record = until_release.record
    assert record.release is not None  # it is the last that happened to it
    site = _site_at(until_release.release)
    zone, reader = ZoneInfo(site.time_zone), Reader(language=language, time_zone=site.time_zone)
    buyer = particulars_of(record.buyer) if record.buyer else None
    return CertificateFacts(
        number=number,
        language=language,
        stands_in=stands_in,
        replaces=_replaced(record, replaces, zone, reader) if replaces else None,
        address=f"{address}/verify/{number}",
        dealer=site.dealer,
        site=site.name,
        time_zone=site.time_zone,
        unit=_unit(str(unit), record, _buyer_name(record, buyer, reader), zone),
        sheet=_sheet(record, zone),
        released=signed(record.release.stamp, RELEASED, zone),
        corrections=_corrections(record, zone),
        sections=sections(record, zone, reader),
        stands_for=_stands_for(record, reader),
        concessions=concessions(record, zone, reader),
        statements=_statements(until_release),
        cautions=_cautions(until_release, zone),
        flags=_flags(record, zone, reader),
        shortages=_shortages(record, zone),
        damage=_damage(record, zone),
        photos=_photos(record, zone, reader),
        not_applying=not_applying(record),
        explained=explained(record, reader),
        proof=proof_of(until_release.release, until_release.events),
        named_buyer=record.buyer.id if record.buyer and buyer else "",
    )


def record_json(facts: CertificateFacts) -> bytes:
    """The machine-readable record of a certificate, as canonical JSON.

    It holds the facts, the unit's entries in the log, and the proof. Drawings stay out: they show
    what the readings say. So does the buyer's id, which the entries have.
    """
    certificate: dict[str, Any] = msgspec.to_builtins(replace(facts, explained=()))
    del certificate["explained"], certificate["named_buyer"]
    proof = certificate.pop("proof")
    return canonical_json.encode(
        {"certificate": certificate, "events": proof.pop("events"), "proof": proof}
    )


def _replaced(record: Record, earlier: IssuedCertificate, zone: tzinfo, reader: Reader) -> Replaced:
    """A certificate of an earlier release of the unit, and why that release was withdrawn."""
    release = next(one for one in record.releases if one.event.release == earlier.release)
    stamp = signed(release.stamp, RELEASED, zone)
    if release is record.release:
        return Replaced(earlier.number, stamp, "", misread=record.corrections[-1][0].was_serial)
    why = "" if release.cause is Cause.RELEASED_AGAIN else ended_because(release, reader)
    return Replaced(earlier.number, stamp, why, nothing_because=release.nothing_because)


def _corrections(record: Record, zone: tzinfo) -> tuple[Corrected, ...]:
    return tuple(
        Corrected(event.was_maker, event.was_serial, event.reason, signed(stamp, "corrected", zone))
        for event, stamp in record.corrections
    )


def _site_at(release: Event) -> events.SiteOpened:
    """The yard's particulars as they stood at the release."""
    opened = Event.objects.filter(
        stream="site", stream_id=release.site, kind="site.opened", recorded__lte=release.recorded
    )
    last = opened.order_by("version").last()
    assert last is not None  # a unit's yard was opened before the unit came
    particulars = reference_events.decode(last.body)
    assert isinstance(particulars, events.SiteOpened)
    return particulars


def _unit(unit: str, record: Record, buyer: str, zone: tzinfo) -> UnitFacts:
    assert record.received is not None
    assert record.release is not None
    model = record.model
    return UnitFacts(
        id=unit,
        maker=record.maker,
        serial=record.serial,
        model=model.name if model else "",
        model_code=model.code if model else "",
        options=record.options,
        plate=record.plate,
        papers=record.papers,
        received=signed(record.received, "received", zone),
        buyer=buyer,
        tractor=record.tractor.name if record.tractor else "",
        ready_for=record.release.event.ready_for,
    )


def _buyer_name(
    record: Record, particulars: Buyer | FormerParticulars | None, reader: Reader
) -> str:
    """Name of the buyer of a record, or that it is no longer kept; empty where there is none."""
    if record.buyer is None:
        return ""
    if particulars is None:
        return say(reader, "(name erased at the buyer's request)")
    return str(particulars.name)


def _sheet(record: Record, zone: tzinfo) -> SheetFacts:
    procedure, sheet = record.procedure, record.sheet
    assert procedure is not None
    assert sheet is not None
    assert record.sheet_started is not None
    return SheetFacts(
        procedure=procedure.procedure,
        revision=procedure.revision,
        title=procedure.title,
        manual=procedure.manual,
        note=procedure.note,
        digest=sheet.digest,
        started=signed(record.sheet_started, "started", zone),
    )


def _stands_for(record: Record, reader: Reader) -> tuple[StandsFor, ...]:
    """What the release stands for, as its signer was shown it."""
    shown = (shown_item(item, record, reader) for item in stands_for(record))
    return tuple(StandsFor(item.kind.value, item.where, item.text) for item in shown)


def _statements(until_release: ReleaseHistory) -> tuple[StatementFacts, ...]:
    """What the signatures declare, each wording once."""
    signed: dict[tuple[str, str], str] = {}
    for _, event, *_ in until_release.history:
        if isinstance(event, e.StepSigned | e.Released):
            means = event.meaning if isinstance(event, e.StepSigned) else RELEASED
            signed[means, event.wording.digest] = event.wording.language
    return tuple(
        StatementFacts(means, language, wording_of(digest).text)
        for (means, digest), language in signed.items()
    )


def _cautions(until_release: ReleaseHistory, zone: tzinfo) -> tuple[CautionFacts, ...]:
    """Cautions that somebody acknowledged, in the order of the procedure, each person once."""
    known = until_release.record.procedure.cautions if until_release.record.procedure else {}
    read: dict[str, dict[str, Signed]] = {}
    for stamp, event, *_ in until_release.history:
        if isinstance(event, e.CautionAcknowledged):
            for code in event.cautions:
                by = signed(stamp, "acknowledged", zone)
                read.setdefault(code, {}).setdefault(stamp.actor, by)
    return tuple(
        CautionFacts(caution.severity, caution.text, tuple(read[code].values()))
        for code, caution in known.items()
        if code in read
    )


def _flags(record: Record, zone: tzinfo, reader: Reader) -> tuple[FlagFacts, ...]:
    """Nonconformities that were fixed; conceded ones are listed as concessions."""
    return tuple(
        FlagFacts(
            flag_text(flag.about, reader),
            signed(flag.stamp, "found", zone),
            signed(flag.closed, "closed", zone),
            closing_text(flag, reader),
        )
        for flag in record.flags.values()
        if flag.closed and not flag.concession
    )


def _shortages(record: Record, zone: tzinfo) -> tuple[ShortageFacts, ...]:
    return tuple(
        ShortageFacts(
            part=shortage.event.part,
            count=shortage.event.count,
            noted=signed(shortage.stamp, "noted", zone),
            expected=shortage.event.expected,
            lent_to=shortage.event.lent_to,
            arrived=signed(shortage.arrived, "arrived", zone) if shortage.arrived else None,
        )
        for shortage in record.shortages.values()
    )


def _damage(record: Record, zone: tzinfo) -> tuple[DamageFacts, ...]:
    return tuple(
        DamageFacts(
            damage.what,
            damage.where,
            damage.count,
            damage.on_carrier_paper,
            signed(stamp, "noted", zone),
        )
        for damage, stamp in record.damage
    )


def _shown_in(photo: e.PhotoAttached, record: Record, reader: Reader) -> str:
    """What a photograph shows."""
    if photo.of_paper:
        return say(reader, "handwritten sheet")
    if photo.of_plate:
        return say(reader, "plate of the machine")
    return box_in_words(record, (photo.step, photo.line, photo.position))


def _photos(record: Record, zone: tzinfo, reader: Reader) -> tuple[PhotoFacts, ...]:
    return tuple(
        PhotoFacts(
            photo.digest,
            _shown_in(photo, record, reader),
            photo.note,
            signed(stamp, "taken", zone),
        )
        for photo, stamp in record.photos
    )
