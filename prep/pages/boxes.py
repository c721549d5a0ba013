"""Boxes of the step page: the question, the entries, and what to do about them."""

from dataclasses import dataclass, field
from datetime import datetime
from fractions import Fraction
from typing import NamedTuple

from django.utils.text import slugify

from prep.record.facts import InstrumentFacts
from prep.record.procedure.document import Step
from prep.record.procedure.line import Line, Takes
from prep.record.refusal import Refusal
from prep.record.unit.entries.flags import may_be_omitted
from prep.record.unit.events import Judged, PhotoAttached
from prep.record.unit.frozen_limit import FrozenLimit
from prep.record.unit.limits import count_of, freeze
from prep.record.unit.sheet import answered, lacks_photo, suspicion
from prep.record.unit.state import BoxKey, Entry, Record
from prep.record.unit.views.advice import advise
from prep.record.unit.views.drawings import among_limits, of_rules, over_time
from prep.record.unit.views.entry_view import EntryView, entry_view
from prep.rules.conformity.judgment import CheckAnswer, Verdict
from prep.rules.drawings.shapes import Drawing, to_svg
from prep.rules.entries.spellings import usual
from prep.rules.quantities.quantity import UNITS, Measured
from prep.words import dates, verdicts
from prep.words.reader import Reader, say
from prep.words.reading_advice import advised
from prep.words.refusals import refusal_text
from prep.words.rules.drawings import DrawingWords
from prep.words.unit.asked_of import asked_of
from prep.words.unit.flags import flag_text
from prep.words.unit.limits import limit_text
from prep.words.unit.remarks import remark_texts
from prep.words.unit.settings import counts_and_units, set_to
from prep.words.unit.signatures import with_named
from prep.words.unit.values import shown_value

PHONE_WIDTH = 100.0  # mm; a wider drawing needs the whole width of a phone to be legible


@dataclass(frozen=True)
class ShownInstrument:
    """An instrument a reading may be taken with, and when its calibration is due.

    `due` is a day in words, empty where none is known; `due_on` is the same day as in the record.
    """

    code: str
    name: str
    due: str
    due_on: str


@dataclass(frozen=True)
class ShownEntry:
    """An entry as the page shows it: in its limit's unit, in others, with its verdict.

    `stated` is a check's answer, which is its verdict too. `also` is a reading in the other system
    and as typed, where these differ, and the note of a check. `mark` is the verdict as a shape, so
    that it does not depend on color alone; `meaning` explains a verdict whose word alone does not
    say what to do. Where no limit applies, that is all there is to say.
    """

    id: str
    stated: str
    also: str
    mark: str
    verdict: str
    meaning: str
    who: str
    when: datetime
    instrument: str
    remarks: tuple[str, ...]
    reason: str
    copied_by: str
    copied_at: datetime


@dataclass(frozen=True)
class ShownDrawing:
    """A drawing, and whether it takes the whole width of a phone."""

    svg: str
    wide: bool


class BoxPhoto(NamedTuple):
    """A photo of a box, and whether it was erased."""

    event: PhotoAttached
    erased: bool


@dataclass
class ShownBox:
    """A box of the step page.

    `chosen` is the instrument this person last used for its kind, `unit` the unit they last read
    its quantity in, of the `units` to choose from. `may_omit` says that it may be left unmeasured,
    `needs_reason` that another entry corrects one that was measured.
    """

    line: Line
    position: str
    instruments: list[ShownInstrument]
    chosen: str = ""
    units: tuple[str, ...] = ()
    unit: str = ""
    may_omit: bool = False
    needs_reason: bool = False
    fasteners: int = 0
    asked_of: str = ""
    suspected: str = ""
    limit: FrozenLimit | None = None
    limit_text: str = ""
    waits: str = ""
    entry: ShownEntry | None = None
    earlier: list[ShownEntry] = field(default_factory=list)
    stale: bool = False
    counts: bool = False
    lacks_photo: bool = False
    photos: list[BoxPhoto] = field(default_factory=list)
    advice: str = ""
    drawings: list[ShownDrawing] = field(default_factory=list)
    flag: str = ""

    @property
    def key(self) -> str:
        """The box within its step, as forms send it."""
        return f"{self.line.line}|{self.position}"

    @property
    def anchor(self) -> str:
        """The id of the box on the page."""
        return anchor(self.key)


def anchor(key: str) -> str:
    """The HTML id of a box, which may be used in a URL."""
    return f"box-{slugify(key.replace('|', '-'))}"


def boxes_of(
    record: Record, step: Step, person: str, instruments: list[InstrumentFacts], reader: Reader
) -> list[ShownBox]:
    """All boxes of a step, in order, for a person at a yard with these instruments."""
    used, units = _used_before(record, person)
    boxes = []
    for code, position in step.boxes:
        line = step.by_line[code]
        usable = _instruments_for(line, instruments, reader)
        kind = line.instrument.kind if line.instrument else ""
        box = ShownBox(line, position, usable, used.get(kind, ""))
        box.unit = units.get(line.quantity, "")
        box.units = _units_for(line, box.unit)
        box.lacks_photo = lacks_photo(record, step, (code, position))
        box.photos = [
            BoxPhoto(photo, photo.photo in record.erased_photos)
            for photo, _ in record.photos
            if (photo.step, photo.line, photo.position) == (step.step, code, position)
        ]
        boxes.append(_filled(record, step, box, reader))
    shown: set[ShownDrawing] = set()
    for box in boxes:  # boxes held against one computation share its drawing: show it once
        box.drawings = [drawing for drawing in box.drawings if drawing not in shown]
        shown.update(box.drawings)
    return boxes


def _instruments_for(
    line: Line, instruments: list[InstrumentFacts], reader: Reader
) -> list[ShownInstrument]:
    """The yard's instruments in service that are of a line's kind."""
    if line.instrument is None:
        return []
    kind = line.instrument.kind
    return [
        ShownInstrument(one.code, one.name, dates.short_day(one.due, reader), one.due)
        for one in instruments
        if one.kind == kind and not one.out_of_service
    ]


def _units_for(line: Line, last: str) -> tuple[str, ...]:
    """The units to choose from beside a reading, the usual ones and the last one."""
    if not line.quantity or line.quantity == "count":
        return ()
    offered = [unit.symbol for unit in usual(line.quantity)]
    return tuple(dict.fromkeys([*offered, *([last] if last else [])]))


def _used_before(record: Record, person: str) -> tuple[dict[str, str], dict[str, str]]:
    """The instrument a person last used on this unit, by kind, and the unit, by quantity.

    It is preselected. Before a person has chosen one, none is, because the first of the list would
    go into the record unread.
    """
    entries = [
        entry
        for box in record.boxes.values()
        for entry in box.entries
        if entry.stamp.actor == person
    ]
    used: dict[str, str] = {}
    units: dict[str, str] = {}
    for entry in sorted(entries, key=lambda entry: entry.stamp.version):
        if isinstance(entry.event, Judged) and entry.event.instrument:
            used[entry.event.instrument.kind] = entry.event.instrument.code
        if isinstance(entry.event, Judged) and entry.event.unit:
            units[entry.event.quantity] = entry.event.unit
    return used, units


def _filled(record: Record, step: Step, shown: ShownBox, reader: Reader) -> ShownBox:
    """Fill in the limit, entries, drawings, flag and advice of a box."""
    line, key = shown.line, (step.step, shown.line.line, shown.position)
    shown.asked_of = asked_of(record, line, reader)
    shown.suspected = suspicion(record, line, key)
    try:
        shown.limit = freeze(record, line, shown.position)
        if line.setting:
            shown.fasteners = count_of(record, line.setting.fasteners, shown.position)
    except Refusal as no:
        shown.waits = refusal_text(no, reader)
    shown.limit_text = limit_text(shown.limit, reader) if shown.limit else ""
    box = record.boxes.get(key)
    words = DrawingWords(reader)
    pictures = list(of_rules(record, key, line, shown.limit, words))
    if box and box.entries:
        shown.stale = box.stale
        entries = [_entry(entry, reader) for entry in box.entries]
        shown.entry, shown.earlier = entries[-1], entries[:-1]
        shown.counts = answered(record, key)
        measured = entry_view(box.entries[-1]).verdict != Verdict.NOT_MEASURED
        shown.needs_reason = measured and (shown.counts or key in record.open_flag_at)
        pictures = [*_reading_drawings(box.entries, words), *pictures]
        _add_flag_and_advice(record, key, shown, reader)
    shown.needs_reason |= line.asked_of == "suspected-fault"
    asks = line.takes is not Takes.CHECK
    shown.may_omit = asks and not shown.counts and may_be_omitted(record, key)
    shown.drawings = [ShownDrawing(to_svg(p), p.width > PHONE_WIDTH) for p in pictures]
    return shown


def _reading_drawings(entries: list[Entry], words: DrawingWords) -> list[Drawing]:
    drawings = (among_limits(entries[-1], words), over_time(entries, words))
    return [drawing for drawing in drawings if drawing]


def _add_flag_and_advice(record: Record, key: BoxKey, shown: ShownBox, reader: Reader) -> None:
    if key in record.open_flag_at:
        shown.flag = flag_text(record.flags[record.open_flag_at[key]].about, reader)
    given = advise(record, key)
    shown.advice = advised(given, reader) if given else ""


def _entry(entry: Entry, reader: Reader) -> ShownEntry:
    view = entry_view(entry)
    stated, also = _texts(view, reader)
    stated_already = bool(view.because) or view.verdict in set(CheckAnswer)
    unsaid = view.verdict == Verdict.NO_LIMIT or stated_already
    clear = view.verdict in verdicts.CLEAR or bool(view.because)
    return ShownEntry(
        id=view.id,
        stated=stated,
        also=also,
        mark=verdicts.mark(view.verdict),
        verdict="" if unsaid else verdicts.word(view.verdict, reader),
        meaning="" if clear else verdicts.explanation(view.verdict, reader),
        who=with_named(view.writer, view.named, reader),
        when=view.stamp.happened,
        instrument=view.instrument.name if view.instrument else "",
        remarks=remark_texts(view.remarks, reader),
        reason=view.reason,
        copied_by=view.stamp.name if view.copied_from_paper else "",
        copied_at=view.stamp.recorded,
    )


def _texts(view: EntryView, reader: Reader) -> tuple[str, str]:
    """The answer, and what stands beside it."""
    if view.verdict in set(CheckAnswer):
        return verdicts.word(view.verdict, reader), view.note
    if view.because:
        return say(reader, "Not measured: {reason}", reason=view.because), ""
    if view.setting:
        return set_to(view, reader), counts_and_units(view, reader)
    if not view.value:
        return view.raw, ""
    value = Measured(Fraction(view.value), UNITS[view.unit])
    shown = shown_value(value, view.limit, reader)
    beside = f"= {shown.beside}" if shown.beside else ""
    typed = "" if view.raw == shown.stated else say(reader, "typed: {text}", text=view.raw)
    return shown.stated, " · ".join(filter(None, (beside, typed)))
