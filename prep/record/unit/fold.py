"""Folding a unit's events into its record.

`fold` is the only way to build a record, so the record at an earlier moment is the same fold
stopped there. Nothing here decides anything: an event that was appended is a fact.
"""

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from msgspec.structs import replace

from prep.record.procedure.document import Procedure
from prep.record.unit import events as e
from prep.record.unit.events.erasure import DocumentErased, PersonalErased
from prep.record.unit.events.identity import (
    JoinedInto,
    ModelCorrected,
    PhotoMarked,
    PlateCorrected,
    RecordJoined,
)
from prep.record.unit.flag_facts import Closing, FlagFacts, Origin
from prep.record.unit.remark import differences
from prep.record.unit.state import (
    PREPARED,
    Cause,
    Concession,
    Entry,
    Flag,
    Record,
    Release,
    Reopening,
    Shortage,
    Signature,
    Stamp,
)


def fold(history: Iterable[tuple[Stamp, e.UnitEvent]], library: Mapping[str, Procedure]) -> Record:
    """The record after a history. `library` gives a procedure by its digest."""
    record = Record(library)
    for stamp, event in history:
        evolve(record, stamp, event)
    return record


def evolve(record: Record, stamp: Stamp, event: e.UnitEvent) -> None:
    """Apply one event to the record, in place."""
    _EVOLVE[type(event)](record, stamp, event)
    record.version = stamp.version
    record.recorded = stamp.recorded


def _received(r: Record, s: Stamp, x: e.Received) -> None:
    r.received = s
    r.maker, r.manufacturer = x.maker, x.manufacturer
    r.serial, r.plate, r.papers = x.serial, x.plate, x.papers
    r.model, r.options, r.place, r.note = x.model, x.options, x.place, x.note
    r.look_alikes, r.first_of_shipment = x.look_alikes, x.first_of_shipment
    r.damage += [(damage, s) for damage in x.damage]


def _plate_corrected(r: Record, s: Stamp, x: PlateCorrected) -> None:
    r.maker, r.manufacturer = x.maker, x.manufacturer
    r.serial, r.plate = x.serial, x.plate
    r.look_alikes = x.look_alikes
    r.corrections.append((x, s))


def _damage_noted(r: Record, s: Stamp, x: e.DamageNoted) -> None:
    r.damage.append((x.damage, s))


def _placed(r: Record, s: Stamp, x: e.Placed) -> None:
    r.place = x.place


def _model_assigned(r: Record, s: Stamp, x: e.ModelAssigned) -> None:
    r.model, r.options = x.model, x.options


def _reopen(r: Record, s: Stamp, steps: Iterable[str], cause: Cause, reason: str = "") -> None:
    reopened = set(steps)
    for code in reopened:
        state = r.step_state(code)
        state.past_signatures += state.signatures.values()
        state.signatures = {}
        state.skipped = ""
        state.acknowledged = set()
        state.reopened.append(Reopening(cause, reason, s))
    for key, box in r.boxes.items():
        if key[0] in reopened:
            box.stale = bool(box.entries)


def _model_corrected(r: Record, s: Stamp, x: ModelCorrected) -> None:
    r.model, r.options = x.model, x.options
    _reopen(r, s, x.reopened, Cause.MODEL_CORRECTED, x.reason)


def _record_joined(r: Record, s: Stamp, x: RecordJoined) -> None:
    r.joined.append((x, s))


def _joined_into(r: Record, s: Stamp, x: JoinedInto) -> None:
    r.joined_into = (x, s)
    _withdraw_release(r, s, Cause.JOINED, x.reason)


def _buyer_assigned(r: Record, s: Stamp, x: e.BuyerAssigned) -> None:
    r.buyer, r.tractor = x.buyer, x.tractor
    _reopen(r, s, x.reopened, Cause.TRACTOR_CHANGED)


def _buyer_amended(r: Record, s: Stamp, x: e.BuyerAmended) -> None:
    r.buyer = x.buyer


def _buyer_withdrawn(r: Record, s: Stamp, x: e.BuyerWithdrawn) -> None:
    r.buyer = r.tractor = None
    _reopen(r, s, x.reopened, Cause.SALE_CANCELED, x.reason)


def _sheet_started(r: Record, s: Stamp, x: e.SheetStarted) -> None:
    r.sheet, r.sheet_started, r.procedure = x, s, r.library[x.digest]


def _sheet_moved(r: Record, s: Stamp, x: e.SheetMoved) -> None:
    r.sheet, r.procedure = x, r.library[x.digest]
    _reopen(r, s, x.reopened, Cause.REVISION_CHANGED, x.reason)


def _caution_acknowledged(r: Record, s: Stamp, x: e.CautionAcknowledged) -> None:
    r.step_state(x.step).acknowledged.add(s.actor)


def _answered(r: Record, s: Stamp, x: e.EntryEvent) -> None:
    box = r.box((x.step, x.line, x.position))
    box.entries.append(Entry(e.entry_id(x), x, s))
    box.stale = False


def _photo_attached(r: Record, s: Stamp, x: e.PhotoAttached) -> None:
    r.photos.append((x, s))


def _photo_marked(r: Record, s: Stamp, x: PhotoMarked) -> None:
    r.photos = [
        (replace(photo, people=x.people) if photo.photo == x.photo else photo, stamp)
        for photo, stamp in r.photos
    ]


def _step_skipped(r: Record, s: Stamp, x: e.StepSkipped) -> None:
    r.step_state(x.step).skipped = x.reason


def _step_reopened(r: Record, s: Stamp, x: e.StepReopened) -> None:
    _reopen(r, s, (x.step,), Cause.PERSON, x.reason)


def _shortage_noted(r: Record, s: Stamp, x: e.ShortageNoted) -> None:
    r.shortages[x.shortage] = Shortage(x, s)


def _shortage_arrived(r: Record, s: Stamp, x: e.ShortageArrived) -> None:
    r.shortages[x.shortage].arrived = s
    r.shortages[x.shortage].arrival_note = x.note


def _flag_raised(r: Record, s: Stamp, x: e.FlagRaised) -> None:
    box = (x.step, x.line, x.position)
    r.flags[x.flag] = Flag(x.flag, _about(r, x), box, x.reading, s)
    if x.line:
        r.open_flag_at[box] = x.flag


def _about(r: Record, x: e.FlagRaised) -> FlagFacts:
    """What a flag is about, in the words of the procedure and the entries of that time."""
    step = r.procedure.steps.get(x.step) if r.procedure else None
    line = step.by_line.get(x.line) if step else None
    facts = FlagFacts(
        x.origin, x.text, line.ask if line else "", x.position, damage=x.damage, phrase=x.phrase
    )
    if x.origin in {Origin.PAPERS, Origin.SERIAL_SCHEME, Origin.LOOKED_UP}:
        return replace(facts, serial=r.serial, papers=r.papers)
    entries = r.boxes[(x.step, x.line, x.position)].entries if x.reading else []
    event = next((entry.event for entry in entries if entry.id == x.reading), None)
    if isinstance(event, e.CheckCompleted):
        return replace(facts, text=event.note, differs=differences(event.remarks))
    if isinstance(event, e.SettingChecked):
        counts = (event.fasteners, event.checked, event.moved)
        facts = replace(facts, **dict(zip(("fasteners", "checked", "moved"), counts, strict=True)))
    if isinstance(event, e.Judged):
        return replace(
            facts,
            text=event.because if isinstance(event, e.ReadingTaken) else "",
            typed=event.raw,
            verdict=event.verdict,
            limit=event.limit,
            instrument=event.instrument.name if event.instrument else "",
            due=event.instrument.due if event.instrument else "",
            differs=differences(event.remarks),
        )
    return facts


def _close(r: Record, s: Stamp, flag_id: str, how: Closing) -> Flag:
    flag = r.flags[flag_id]
    flag.closed, flag.closed_how = s, how
    r.open_flag_at.pop(flag.box, None)
    return flag


def _flag_closed(r: Record, s: Stamp, x: e.FlagClosed) -> None:
    flag = _close(r, s, x.flag, Closing(x.how))
    flag.closed_by, flag.closing_text = x.reading, x.text


def _concession_granted(r: Record, s: Stamp, x: e.ConcessionGranted) -> None:
    _close(r, s, x.flag, Closing.CONCESSION).concession = Concession(x.concession, x.reason, s)


def _step_signed(r: Record, s: Stamp, x: e.StepSigned) -> None:
    r.step_state(x.step).signatures[x.meaning] = Signature(x.meaning, x.content, s)
    if x.meaning == PREPARED:
        _own(r, s, x.step)


def _own(r: Record, s: Stamp, step: str) -> None:
    """What a device named somebody for counts as theirs once they sign for it."""
    for key, box in r.boxes.items():
        entry = box.current if key[0] == step else None
        if entry and entry.stamp.named and entry.stamp.named.id == s.actor:
            entry.owned = True


def _held(r: Record, s: Stamp, x: e.Held) -> None:
    r.held = (x.reason, s)


def _resumed(r: Record, s: Stamp, x: e.Resumed) -> None:
    r.held = None


def _withdraw_release(r: Record, s: Stamp, cause: Cause, reason: str = "") -> None:
    if r.release:
        r.release.cause = cause
        r.release.reason = reason
        r.releases[-1].withdrawn = s


def _released(r: Record, s: Stamp, x: e.Released) -> None:
    _withdraw_release(r, s, Cause.RELEASED_AGAIN)
    r.releases.append(Release(x, s))


def _unit_reopened(r: Record, s: Stamp, x: e.Reopened) -> None:
    if r.release:
        r.release.nothing_because = x.nothing_because
    _withdraw_release(r, s, Cause.RELEASE_WITHDRAWN, x.reason)
    _reopen(r, s, x.steps, Cause.RELEASE_WITHDRAWN, x.reason)


def _handed_over(r: Record, s: Stamp, x: e.HandedOver) -> None:
    r.handover = (x, s)


def _registration(r: Record, s: Stamp, x: e.RegistrationSent | e.RegistrationAnswered) -> None:
    r.registration.append((x, s))


def _document_issued(r: Record, s: Stamp, x: e.DocumentIssued) -> None:
    r.documents.append((x, s))


def _document_remade(r: Record, s: Stamp, x: e.DocumentRemade) -> None:
    """The document is the one that was issued."""


def _personal_erased(r: Record, s: Stamp, x: PersonalErased) -> None:
    r.erased_photos |= set(x.photos)
    r.recipient_erased = r.recipient_erased or bool(x.recipient)


def _document_erased(r: Record, s: Stamp, x: DocumentErased) -> None:
    r.erased_documents[x.document] = s


_EVOLVE: dict[type, Callable[[Record, Stamp, Any], None]] = {
    e.Received: _received,
    PlateCorrected: _plate_corrected,
    e.DamageNoted: _damage_noted,
    e.Placed: _placed,
    e.ModelAssigned: _model_assigned,
    ModelCorrected: _model_corrected,
    RecordJoined: _record_joined,
    JoinedInto: _joined_into,
    e.BuyerAssigned: _buyer_assigned,
    e.BuyerAmended: _buyer_amended,
    e.BuyerWithdrawn: _buyer_withdrawn,
    e.SheetStarted: _sheet_started,
    e.SheetMoved: _sheet_moved,
    e.CautionAcknowledged: _caution_acknowledged,
    e.ReadingTaken: _answered,
    e.CheckCompleted: _answered,
    e.SettingChecked: _answered,
    e.PhotoAttached: _photo_attached,
    PhotoMarked: _photo_marked,
    e.StepSkipped: _step_skipped,
    e.StepReopened: _step_reopened,
    e.ShortageNoted: _shortage_noted,
    e.ShortageArrived: _shortage_arrived,
    e.FlagRaised: _flag_raised,
    e.FlagClosed: _flag_closed,
    e.ConcessionGranted: _concession_granted,
    e.StepSigned: _step_signed,
    e.Held: _held,
    e.Resumed: _resumed,
    e.Released: _released,
    e.Reopened: _unit_reopened,
    e.HandedOver: _handed_over,
    e.RegistrationSent: _registration,
    e.RegistrationAnswered: _registration,
    e.DocumentIssued: _document_issued,
    e.DocumentRemade: _document_remade,
    PersonalErased: _personal_erased,
    DocumentErased: _document_erased,
}
