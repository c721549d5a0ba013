"""Facts of a delivery certificate: the record up to the release, and where the release is proven.

What happened after the release, and when this is asked, changes nothing: the record is folded up
to the release, the yard is named as it was then, and the proof leads to the first checkpoint over
it. Only an erased buyer is missing ever after.
"""

import base64
import hashlib
from dataclasses import dataclass, replace
from datetime import tzinfo
from typing import Any, Final
from uuid import UUID
from zoneinfo import ZoneInfo

import msgspec

from prep.actions import sealing
from prep.models import Checkpoint, Event
from prep.queries import log
from prep.queries.buyers import particulars_of
from prep.queries.records import LIBRARY
from prep.record import reference_events
from prep.record.facts import BuyerRef
from prep.record.log import canonical_json, signed_notes
from prep.record.log.envelope import leaf_data
from prep.record.refusal import Refusal
from prep.record.site import events
from prep.record.unit import events as e
from prep.record.unit.fold import evolve
from prep.record.unit.state import Record, Stamp
from reports.certificate import gather_drawings, gather_sheet
from reports.certificate.facts import (
    CautionFacts,
    CertificateFacts,
    DamageFacts,
    FlagFacts,
    PhotoFacts,
    ProofFacts,
    Replaced,
    SheetFacts,
    ShortageFacts,
    Signed,
    UnitFacts,
)
from reports.certificate.gather_sheet import signed
from reports.numbers import drawn_number

LETTER: Final = "C"  # begins the numbers of certificates
ERASED: Final = "(name erased at the buyer's request)"


@dataclass(frozen=True)
class Former:
    """An issued certificate by its number and the release it was made for."""

    number: str
    release: str


@dataclass(frozen=True)
class Story:
    """A unit's events up to a release, with the record they make."""

    events: tuple[Event, ...]
    history: tuple[tuple[Stamp, e.UnitEvent], ...]
    record: Record

    @property
    def release(self) -> Event:
        """The release itself, the last of the events."""
        return self.events[-1]


def story_of(unit: UUID, release: str) -> Story:
    """A unit up to one of its releases. Two queries."""
    of_unit = Event.objects.filter(stream="unit", stream_id=str(unit))
    release_event = of_unit.filter(kind="unit.released", command=UUID(release)).first()
    if release_event is None:
        raise Refusal("no-such-release", "This unit has no such release to certify.")
    rows = tuple(of_unit.filter(version__lte=release_event.version).order_by("version"))
    history = tuple(
        (Stamp(r.actor, r.actor_name, r.happened, r.recorded, r.version), e.decode(r.body))
        for r in rows
    )
    record = Record(LIBRARY)
    for stamp, event in history:
        evolve(record, stamp, event)
    return Story(rows, history, record)


def certificate_facts(
    unit: UUID, release: str, *, address: str, replaces: Former | None = None
) -> CertificateFacts:
    """Everything the certificate of a release says; `replaces` is the one it corrects."""
    story = story_of(unit, release)
    record = story.record
    site = _site_then(story.release)
    zone = ZoneInfo(site.time_zone)
    number = drawn_number(LETTER, release)
    facts = CertificateFacts(
        number=number,
        replaces=_replaced(record, replaces, zone) if replaces else None,
        address=f"{address}/verify/{number}",
        dealer=site.dealer,
        site=site.name,
        time_zone=site.time_zone,
        unit=_unit(str(unit), record, zone),
        sheet=_sheet(record, zone),
        released=signed(story.history[-1][0], "released", zone),
        sections=gather_sheet.sections(record, zone),
        concessions=gather_sheet.concessions(record, zone),
        cautions=_cautions(story, zone),
        flags=_flags(record, zone),
        shortages=_shortages(record, zone),
        damage=_damage(record, zone),
        photos=_photos(record, zone),
        not_applying=gather_sheet.not_applying(record),
        explained=gather_drawings.explained(record),
        proof=_proof(story),
    )
    return replace(facts, statement=_statement(facts))


def record_json(facts: CertificateFacts) -> bytes:
    """The certificate for machines: its facts, the unit's entries in the log, the proof, and a
    signed statement over these, which stands last so that whoever checks it can cut it off.

    Drawings stay out: they show what the readings say.
    """
    said: dict[str, Any] = msgspec.to_builtins(replace(facts, explained=()))
    del said["explained"]
    held, statement = said.pop("proof"), said.pop("statement")
    record = {"certificate": said, "events": held.pop("events"), "proof": held}
    return canonical_json.encode({**record, "statement": statement} if statement else record)


def _statement(facts: CertificateFacts) -> str:
    digest = hashlib.sha256(record_json(facts)).hexdigest()
    checkpoint = signed_notes.parse_proof(facts.proof.tlog).note
    return sealing.sign_like(checkpoint, f"{facts.proof.log}\nrecord {digest}\n")


def _replaced(record: Record, former: Former, zone: tzinfo) -> Replaced:
    """A certificate of an earlier release of the unit, and why that release was withdrawn."""
    release = next(one for one in record.releases if one.event.release == former.release)
    followed = release.withdrawn in {later.stamp for later in record.releases}
    why = "" if followed else release.reason
    return Replaced(former.number, signed(release.stamp, "released", zone), why)


def _site_then(release: Event) -> events.SiteOpened:
    """The yard's particulars as they stood at the release."""
    opened = Event.objects.filter(
        stream="site", stream_id=release.site, kind="site.opened", recorded__lte=release.recorded
    )
    last = opened.order_by("version").last()
    assert last is not None  # a unit's yard was opened before the unit came
    particulars = reference_events.decode(last.body)
    assert isinstance(particulars, events.SiteOpened)
    return particulars


def _unit(unit: str, record: Record, zone: tzinfo) -> UnitFacts:
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
        buyer=buyer_name(record.buyer) if record.buyer else "",
        tractor=record.tractor.name if record.tractor else "",
        ready_for=record.release.event.ready_for,
    )


def buyer_name(reference: BuyerRef) -> str:
    """Name the reference stands for, corrected since or not, as long as it is kept."""
    found = particulars_of(reference)
    return str(found.name) if found else ERASED


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


def _cautions(story: Story, zone: tzinfo) -> tuple[CautionFacts, ...]:
    """Cautions that somebody acknowledged, in the order of the procedure, each person once."""
    known = story.record.procedure.cautions if story.record.procedure else {}
    read: dict[str, dict[str, Signed]] = {}
    for stamp, event in story.history:
        if isinstance(event, e.CautionAcknowledged):
            for code in event.cautions:
                by = signed(stamp, "acknowledged", zone)
                read.setdefault(code, {}).setdefault(stamp.actor, by)
    return tuple(
        CautionFacts(caution.severity, caution.text, tuple(read[code].values()))
        for code, caution in known.items()
        if code in read
    )


def _flags(record: Record, zone: tzinfo) -> tuple[FlagFacts, ...]:
    """Nonconformities that were put right; conceded ones are told as concessions."""
    return tuple(
        FlagFacts(
            flag.text,
            signed(flag.stamp, "found", zone),
            signed(flag.closed, "closed", zone),
            flag.closing_text,
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


def _photos(record: Record, zone: tzinfo) -> tuple[PhotoFacts, ...]:
    return tuple(
        PhotoFacts(
            photo.digest,
            "sheet filled in by hand"
            if photo.of_paper
            else gather_sheet.box_in_words(record, (photo.step, photo.line, photo.position)),
            photo.note,
            signed(stamp, "taken", zone),
        )
        for photo, stamp in record.photos
    )


def _proof(story: Story) -> ProofFacts:
    release = story.release
    position = log.position_of(release.pk)
    if position is None:
        sealing.seal()
        position = log.position_of(release.pk)
    assert position is not None  # sealing places every event
    checkpoint = _first_over(position)
    parsed = signed_notes.parse_checkpoint(f"{checkpoint.note.partition(BLANK)[0]}\n")
    return ProofFacts(
        log=parsed.origin,
        position=position,
        size=checkpoint.size,
        root=checkpoint.root,
        leaf=release.leaf,
        key=_key_of(checkpoint.note),
        entry=leaf_data(release.envelope()).decode(),
        tlog=log.proof_text(release.pk, checkpoint),
        events=tuple(event.envelope() for event in story.events),
    )


BLANK: Final = "\n\n"


def _first_over(position: int) -> Checkpoint:
    """The first checkpoint over an entry: the same whenever the certificate is made again."""
    found: Checkpoint | None = Checkpoint.objects.filter(size__gt=position).order_by("size").first()
    assert found is not None  # sealing signs whatever it places
    return found


def _key_of(note: str) -> str:
    """The published key whose signature stands under a note."""
    signature = note.rstrip("\n").rpartition(" ")[2]
    key_id = base64.b64decode(signature)[: signed_notes.KEY_ID_BYTES]
    return next(key.text for key in log.public_keys() if key.id == key_id)
