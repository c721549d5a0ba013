"""Facts of a unit's sheet, taken from its record."""

from collections.abc import Iterator
from datetime import tzinfo
from fractions import Fraction
from typing import Final

from prep.record.procedure.document import Step
from prep.record.unit.frozen_limit import FrozenLimit
from prep.record.unit.guards import box_name
from prep.record.unit.sheet import Status, statuses, suspicion
from prep.record.unit.state import BoxKey, Entry, Flag, Record, Stamp
from prep.record.unit.views.entry_view import EntryView, entry_view
from prep.rules.quantities.quantity import UNITS, Measured, canonical, show
from prep.words.reader import Reader
from prep.words.unit.flags import flag_text
from prep.words.unit.limits import computation, limit_text
from prep.words.unit.remarks import remark_texts
from prep.words.unit.settings import counts_and_units, set_to, shown_setting
from prep.words.unit.signatures import CONCEDED, ENTERED, WRITTEN_ON_PAPER, reopened_because
from prep.words.unit.values import ShownValue, shown_value, uncertainty_text
from reports.certificate.facts import (
    Answer,
    BoxFacts,
    ConcessionFacts,
    InstrumentUsed,
    LimitFacts,
    SectionFacts,
    SettingFacts,
    Signed,
    StepFacts,
)

COPIED: Final = "copied-from-paper"


def signed(stamp: Stamp, means: str, zone: tzinfo) -> Signed:
    """Signature of a stamp, its moment in the yard's time zone."""
    named = stamp.named.name if stamp.named else ""
    return Signed(stamp.name, stamp.happened.astimezone(zone), means, named)


def sections(record: Record, zone: tzinfo, reader: Reader) -> tuple[SectionFacts, ...]:
    """Every step that applies, section by section."""
    if record.procedure is None:
        return ()
    by_step = statuses(record)
    made = []
    for section in record.procedure.sections:
        steps = [
            _step(record, step, by_step[step.step], zone, reader)
            for step in section.steps
            if by_step[step.step] is not Status.DOES_NOT_APPLY
        ]
        if steps:
            made.append(SectionFacts(section.title, tuple(steps)))
    return tuple(made)


def not_applying(record: Record) -> tuple[str, ...]:
    """Titles of the steps that this unit does not need."""
    steps = record.procedure.steps if record.procedure else {}
    return tuple(
        steps[code].title
        for code, status in statuses(record).items()
        if status is Status.DOES_NOT_APPLY
    )


def concessions(record: Record, zone: tzinfo, reader: Reader) -> tuple[ConcessionFacts, ...]:
    """Everything that was accepted by concession, oldest first."""
    return tuple(
        concession(record, flag, zone, reader) for flag in record.flags.values() if flag.concession
    )


def concession(record: Record, flag: Flag, zone: tzinfo, reader: Reader) -> ConcessionFacts:
    """The concession on a flag."""
    assert flag.concession is not None
    where = box_in_words(record, flag.box)
    authority = signed(flag.concession.stamp, CONCEDED, zone)
    return ConcessionFacts(where, flag_text(flag.about, reader), flag.concession.reason, authority)


def box_in_words(record: Record, key: BoxKey) -> str:
    """A box by its step and question; empty where there is none."""
    step = record.procedure.steps.get(key[0]) if record.procedure else None
    if step is None:
        return ""
    return f"{step.title}: {box_name(step, key)}" if key[1] in step.by_line else step.title


def _step(record: Record, step: Step, status: Status, zone: tzinfo, reader: Reader) -> StepFacts:
    state = record.steps.get(step.step)
    signatures = state.signatures.values() if state else ()
    past = state.past_signatures if state else ()
    return StepFacts(
        step=step.step,
        title=step.title,
        do=step.do,
        status=status.value,
        skipped=state.skipped if state else "",
        boxes=tuple(_boxes(record, step, zone, reader)),
        signed=tuple(signed(one.stamp, one.meaning, zone) for one in signatures),
        past=tuple(signed(one.stamp, one.meaning, zone) for one in past),
        reopened=tuple(reopened_because(one, reader) for one in state.reopened) if state else (),
    )


def _boxes(record: Record, step: Step, zone: tzinfo, reader: Reader) -> Iterator[BoxFacts]:
    conceded = {
        flag.reading: flag for flag in record.flags.values() if flag.concession and flag.reading
    }
    for line, position in step.boxes:
        box = record.boxes.get((step.step, line, position))
        entries = box.entries if box else []
        current = box.current if box else None
        earlier = [entry for entry in entries if entry is not current]
        flag = conceded.get(current.id) if current else None
        yield BoxFacts(
            ask=step.by_line[line].ask,
            position=position,
            current=answer(current, zone, reader) if current else None,
            earlier=tuple(answer(entry, zone, reader) for entry in reversed(earlier)),
            concession=concession(record, flag, zone, reader) if flag else None,
            suspected=suspicion(record, step.by_line[line], (step.step, line, position)),
        )


def answer(entry: Entry, zone: tzinfo, reader: Reader) -> Answer:
    """Facts of one entry of a box."""
    view = entry_view(entry)
    by, copied = _signatures(view, zone)
    shown = _shown(view, reader) or shown_setting(view, reader)
    measured = shown if view.value else None
    return Answer(
        id=view.id,
        typed=view.raw,
        verdict=view.verdict,
        by=by,
        setting=_setting(view, reader),
        value=_understood(view),
        typed_unit=view.unit,
        canonical=view.canonical,
        unit=view.canonical_unit,
        stated=measured.stated if measured else "",
        beside=measured.beside if measured else "",
        uncertainty=_uncertainty(view, shown, reader),
        limit=_limit(view.limit, shown.limit_beside if shown else "", reader)
        if view.limit
        else None,
        instrument=_instrument(view),
        probability=view.probability,
        remarks=(*remark_texts(view.remarks, reader), *((view.note,) if view.note else ())),
        reason=view.reason,
        copied=copied,
    )


def _signatures(view: EntryView, zone: tzinfo) -> tuple[Signed, Signed | None]:
    """Signatures of an entry: who made it, and who copied it where it came from paper."""
    stamp = view.stamp
    if not view.copied_from_paper:
        at = stamp.happened.astimezone(zone)
        return Signed(view.writer, at, ENTERED, view.named), None
    copied = Signed(stamp.name, stamp.recorded.astimezone(zone), COPIED)
    return Signed(view.writer, stamp.happened.astimezone(zone), WRITTEN_ON_PAPER), copied


def _understood(view: EntryView) -> str:
    if not view.value:
        return view.choice
    also = f" ({view.also})" if view.also else ""
    return show(Fraction(view.value), UNITS[view.unit]) + also


def _setting(view: EntryView, reader: Reader) -> SettingFacts | None:
    setting = view.setting
    if setting is None:
        return None
    return SettingFacts(
        value=setting.value,
        typed_unit=setting.unit,
        canonical=setting.canonical,
        unit=setting.canonical_unit,
        fasteners=setting.fasteners,
        checked=setting.checked,
        moved=setting.moved,
        stated=set_to(view, reader),
        beside=counts_and_units(view, reader),
    )


def _shown(view: EntryView, reader: Reader) -> ShownValue | None:
    if not view.value:
        return None
    return shown_value(Measured(Fraction(view.value), UNITS[view.unit]), view.limit, reader)


def _uncertainty(view: EntryView, shown: ShownValue | None, reader: Reader) -> str:
    if shown is None or not view.expanded_uncertainty:
        return ""
    expanded = Measured(Fraction(view.expanded_uncertainty), canonical(view.quantity))
    return uncertainty_text(expanded, shown.unit, reader)


def _limit(limit: FrozenLimit, beside: str, reader: Reader) -> LimitFacts:
    return LimitFacts(
        stated=limit_text(limit, reader),
        beside=beside,
        source=limit.source,
        basis=limit.basis,
        quantity=limit.quantity,
        low=limit.low,
        high=limit.high,
        unit=canonical(limit.quantity).symbol if limit.quantity else "",
        decision=limit.decision,
        guard=limit.guard,
        computed=computation(limit.computed, reader) if limit.computed else None,
    )


def _instrument(view: EntryView) -> InstrumentUsed | None:
    used = view.instrument
    if used is None:
        return None
    return InstrumentUsed(
        code=used.code,
        name=used.name,
        serial=used.serial,
        calibrated=used.calibrated,
        due=used.due,
        certificate=used.certificate,
        uncertainty=view.expanded_uncertainty,
        uncertainty_low=view.uncertainty_low,
        uncertainty_high=view.uncertainty_high,
    )
