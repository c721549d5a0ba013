"""What the step page shows of each box: the question, what stands in it, and what to do."""

from dataclasses import dataclass, field
from datetime import datetime
from fractions import Fraction

from django.utils.text import slugify

from prep.record.facts import InstrumentFacts
from prep.record.procedure.document import Line, Step
from prep.record.refusal import Refusal
from prep.record.unit.events import CheckCompleted, FrozenLimit, ReadingTaken
from prep.record.unit.limits import freeze
from prep.record.unit.sheet import answered, lacks_photo
from prep.record.unit.state import BoxKey, Entry, Record
from prep.record.unit.views.advice import advise
from prep.record.unit.views.drawings import among_limits, of_rules, over_time
from prep.rules.drawings.shapes import Drawing, to_svg
from prep.rules.quantities.quantity import UNITS, show

PHONE_WIDE = 100.0  # mm of a drawing that is legible beside the margins of a phone
MARKS = {
    "conforming": "✓",
    "conforming inside the guard band": "◐",
    "nonconforming inside the guard band": "◑",
    "nonconforming": "✗",
    "not a measurement": "–",
    "no limit given": "·",
    "answered yes": "✓",
    "answered no": "✗",
}
# What a verdict means for the person who reads it, where the word alone does not say it.
MEANING = {
    "conforming inside the guard band": "Within the limit, but so near it that this instrument "
    "cannot be sure. It does not count yet: measure again with a finer one.",
    "nonconforming inside the guard band": "Outside the limit, though so near it that this "
    "instrument cannot be sure. Measure again with a finer one, or put it right.",
    "not a measurement": "Kept as a note. It does not count: enter what you read.",
    "no limit given": "Kept. Nothing is prescribed for it.",
}


@dataclass(frozen=True)
class ShownEntry:
    """An entry in words: as typed, in the record's unit, its verdict with a mark."""

    id: str
    typed: str
    also: str
    verdict: str
    who: str
    when: datetime
    instrument: str
    remarks: tuple[str, ...]
    reason: str
    copied_by: str
    copied_at: datetime

    @property
    def mark(self) -> str:
        """The verdict as a shape, so that it is not told by colour alone."""
        return MARKS.get(self.verdict, "·")

    @property
    def meaning(self) -> str:
        """What follows from the verdict."""
        return MEANING.get(self.verdict, "")


@dataclass(frozen=True)
class ShownDrawing:
    """A picture, and whether a phone should give it all its width."""

    svg: str
    wide: bool


@dataclass
class ShownBox:
    """One box of the step page. `chosen` is the instrument this person used for its kind before."""

    line: Line
    position: str
    instruments: list[InstrumentFacts]
    chosen: str = ""
    limit: FrozenLimit | None = None
    waits: str = ""
    entry: ShownEntry | None = None
    earlier: list[ShownEntry] = field(default_factory=list)
    stale: bool = False
    counts: bool = False
    lacks_photo: bool = False
    photos: list[str] = field(default_factory=list)
    advice: str = ""
    drawings: list[ShownDrawing] = field(default_factory=list)
    flag: str = ""

    @property
    def key(self) -> str:
        """Name of the box within its step, as forms send it."""
        return f"{self.line.line}|{self.position}"

    @property
    def anchor(self) -> str:
        """Where the box is on the page."""
        return anchor(self.key)


def anchor(key: str) -> str:
    """A box's key as an id that may stand in an address."""
    return f"box-{slugify(key.replace('|', '-'))}"


def boxes_of(
    record: Record, step: Step, person: str, instruments: list[InstrumentFacts]
) -> list[ShownBox]:
    """Every box of a step, in order, as `person` meets it in a yard with these instruments."""
    used = _used_before(record, person)
    boxes = []
    for code, position in step.boxes:
        line = step.by_line[code]
        fit = _fit_for(line, instruments)
        kind = line.instrument.kind if line.instrument else ""
        box = ShownBox(line, position, fit, used.get(kind, ""))
        box.lacks_photo = lacks_photo(record, step, (code, position))
        box.photos = [
            photo.photo
            for photo, _ in record.photos
            if (photo.step, photo.line, photo.position) == (step.step, code, position)
        ]
        boxes.append(_filled(record, step, box))
    shown: set[ShownDrawing] = set()
    for box in boxes:  # boxes held against one computation share its picture: once is enough
        box.drawings = [drawing for drawing in box.drawings if drawing not in shown]
        shown.update(box.drawings)
    return boxes


def _fit_for(line: Line, instruments: list[InstrumentFacts]) -> list[InstrumentFacts]:
    """The instruments of the yard that fit a line, those in service only."""
    if line.instrument is None:
        return []
    kind = line.instrument.kind
    return [i for i in instruments if i.kind == kind and not i.out_of_service]


def _used_before(record: Record, person: str) -> dict[str, str]:
    """By kind, the instrument a person used last on this unit.

    The list offers that one; nobody who has not chosen yet is offered any, lest the first in the
    list go into the record unread.
    """
    entries = [
        entry
        for box in record.boxes.values()
        for entry in box.entries
        if entry.stamp.actor == person
    ]
    used: dict[str, str] = {}
    for entry in sorted(entries, key=lambda entry: entry.stamp.version):
        if isinstance(entry.event, ReadingTaken) and entry.event.instrument:
            used[entry.event.instrument.kind] = entry.event.instrument.code
    return used


def _filled(record: Record, step: Step, shown: ShownBox) -> ShownBox:
    """The box with its limit, what was entered, and what follows from it."""
    line, key = shown.line, (step.step, shown.line.line, shown.position)
    try:
        shown.limit = freeze(record, line, shown.position)
    except Refusal as no:
        shown.waits = no.text
    box = record.boxes.get(key)
    pictures = list(of_rules(record, key, line, shown.limit))
    if box and box.entries:
        shown.stale = box.stale
        entries = [_entry(entry) for entry in box.entries]
        shown.entry, shown.earlier = entries[-1], entries[:-1]
        shown.counts = answered(record, key)
        pictures = [*_of_readings(box.entries), *pictures]
        _add_consequences(record, key, shown)
    shown.drawings = [ShownDrawing(to_svg(p), p.width > PHONE_WIDE) for p in pictures]
    return shown


def _of_readings(entries: list[Entry]) -> list[Drawing]:
    found = (among_limits(entries[-1]), over_time(entries))
    return [drawing for drawing in found if drawing]


def _add_consequences(record: Record, key: BoxKey, shown: ShownBox) -> None:
    if key in record.open_flag_at:
        shown.flag = record.flags[record.open_flag_at[key]].text
    advised = advise(record, key)
    shown.advice = advised.text if advised else ""


def _entry(entry: Entry) -> ShownEntry:
    event, stamp = entry.event, entry.stamp
    instrument: InstrumentFacts | None
    remarks: tuple[str, ...]
    if isinstance(event, CheckCompleted):
        word = "yes" if event.answer else "no"
        said = (word, event.note, f"answered {word}")
        instrument, remarks = None, ()
    else:
        said = (event.raw, _also(event), event.verdict)
        instrument, remarks = event.instrument, event.remarks
    return ShownEntry(
        entry.id,
        *said,
        event.paper.writer_name if event.paper else stamp.name,
        stamp.happened,
        instrument.name if instrument else "",
        remarks,
        event.reason,
        stamp.name if event.copied_from_paper else "",
        stamp.recorded,
    )


def _also(event: ReadingTaken) -> str:
    """The value in the record's unit, rounded for reading, where it was typed in another."""
    if not event.canonical or event.unit == event.canonical_unit:
        return ""
    return f"= {show(Fraction(event.canonical), UNITS[event.canonical_unit])}"
