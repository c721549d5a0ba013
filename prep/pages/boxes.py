"""What the step page shows of each box: the question, what stands in it, and what to do."""

from dataclasses import dataclass, field
from fractions import Fraction

from prep.record.advising import advise
from prep.record.events import CheckCompleted, FrozenLimit, ReadingTaken
from prep.record.facts import InstrumentFacts
from prep.record.limits import decision_rule, freeze, interval_of
from prep.record.procedure import Line, Step
from prep.record.refusal import Refusal
from prep.record.sheet import answered
from prep.record.unit import Entry, Record
from prep.rules.conformity import judge
from prep.rules.drawing import to_svg
from prep.rules.drawing_guard_band import guard_band_drawing

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


@dataclass
class ShownEntry:
    """An entry in words: as typed, in the record's unit, its verdict with a mark."""

    id: str
    typed: str
    canonical: str
    verdict: str
    mark: str
    who: str
    when: object
    instrument: str
    remarks: tuple[str, ...]
    reason: str


@dataclass
class ShownBox:
    """One box of the step page."""

    line: Line
    position: str
    limit: FrozenLimit | None = None
    waits: str = ""
    entry: ShownEntry | None = None
    earlier: list[ShownEntry] = field(default_factory=list)
    stale: bool = False
    counts: bool = False
    advice: str = ""
    drawing: str = ""
    flag: str = ""

    @property
    def key(self) -> str:
        """Name of the box within its page."""
        return f"{self.line.line}|{self.position}"


def boxes_of(record: Record, step: Step) -> list[ShownBox]:
    """Every box of a step, in order."""
    return [_box(record, step, step.by_line[line], position) for line, position in step.boxes]


def instruments_for(line: Line, instruments: list[InstrumentFacts]) -> list[InstrumentFacts]:
    """The instruments of the yard that fit a line, those in service only."""
    if line.instrument is None:
        return []
    kind = line.instrument.kind
    return [i for i in instruments if i.kind == kind and not i.out_of_service]


def _box(record: Record, step: Step, line: Line, position: str) -> ShownBox:
    shown = ShownBox(line, position)
    try:
        shown.limit = freeze(record, line, position)
    except Refusal as no:
        shown.waits = no.text
    key = (step.step, line.line, position)
    box = record.boxes.get(key)
    if box is None or not box.entries:
        return shown
    shown.stale = box.stale
    entries = [_entry(entry) for entry in box.entries]
    shown.entry, shown.earlier = entries[-1], entries[:-1]
    shown.counts = answered(record, key)
    if key in record.open_flag_at:
        shown.flag = record.flags[record.open_flag_at[key]].text
    advised = advise(record, key)
    shown.advice = advised.text if advised else ""
    shown.drawing = _drawing(box.entries[-1])
    return shown


def _entry(entry: Entry) -> ShownEntry:
    event = entry.event
    if isinstance(event, CheckCompleted):
        remarks: tuple[str, ...] = ()
        verdict = "answered yes" if event.answer else "answered no"
        typed, canonical, instrument = ("yes" if event.answer else "no", "", "")
    else:
        verdict, typed = event.verdict, event.raw
        canonical = f"{event.canonical} {event.canonical_unit}".strip()
        instrument = event.instrument.name if event.instrument else ""
        remarks = event.remarks
    return ShownEntry(
        entry.id,
        typed,
        canonical,
        verdict,
        MARKS.get(verdict, "·"),
        entry.stamp.name,
        entry.stamp.happened,
        instrument,
        remarks,
        event.reason,
    )


def _drawing(entry: Entry) -> str:
    """The reading among its limits, where uncertainty or a miss makes it worth a look."""
    event = entry.event
    if not isinstance(event, ReadingTaken) or event.limit is None or not event.canonical:
        return ""
    interval = interval_of(event.limit)
    if interval is None or (event.verdict == "conforming" and event.limit.decision == "simple"):
        return ""
    value = Fraction(event.canonical)
    uncertainty = Fraction(event.expanded_uncertainty or 0)
    judgement = judge(value, interval, decision_rule(event.limit), uncertainty)
    return to_svg(guard_band_drawing(value, interval, judgement, uncertainty, event.canonical_unit))
