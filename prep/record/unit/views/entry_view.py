"""An entry as everybody sees it: the one view for page, API, document, table and index row."""

from dataclasses import dataclass
from fractions import Fraction

from prep.record.facts import InstrumentFacts, Paper
from prep.record.procedure.line import Takes
from prep.record.unit.events import CheckCompleted, ReadingTaken, SettingChecked
from prep.record.unit.frozen_limit import FrozenLimit
from prep.record.unit.remark import Remark
from prep.record.unit.state import Entry, Stamp
from prep.rules.conformity.judgment import CheckAnswer
from prep.rules.quantities.quantity import UNITS, show


@dataclass(frozen=True)
class SettingView:
    """What a tool was set to, as typed, and the fasteners gone over with it."""

    value: str
    unit: str
    canonical: str
    canonical_unit: str
    fasteners: int
    checked: int
    moved: int


@dataclass(frozen=True, kw_only=True)
class EntryView:
    """One answer in a box, a reading, a choice, a check or a setting, in the same fields.

    `raw` is what was typed, or yes or no; `because` is why nothing was measured. `value` and `unit`
    are as typed, `also` the second value typed beside it, `canonical` the value in the canonical
    unit, all decimal text; they are empty where the entry is no measurement, as a tool's `setting`
    is not. `unit_chosen` is the unit chosen beside the text. `remarks` are ours, `note` is the
    person's. `owned` says that whom a device named as its author has signed for it.
    """

    id: str
    kind: Takes
    step: str
    line: str
    position: str
    raw: str
    verdict: str
    stamp: Stamp
    owned: bool
    supersedes: str
    reason: str
    copied_from_paper: bool
    paper: Paper | None
    choice: str = ""
    setting: SettingView | None = None
    quantity: str = ""
    value: str = ""
    unit: str = ""
    also: str = ""
    canonical: str = ""
    canonical_unit: str = ""
    unit_chosen: str = ""
    because: str = ""
    limit: FrozenLimit | None = None
    instrument: InstrumentFacts | None = None
    expanded_uncertainty: str = ""
    uncertainty_low: str = ""
    uncertainty_high: str = ""
    probability: str = ""
    remarks: tuple[Remark, ...] = ()
    note: str = ""

    @property
    def typed(self) -> str:
        """The value as read, in the unit typed; empty where the entry is no measurement."""
        return show(Fraction(self.value), UNITS[self.unit]) if self.value else ""

    @property
    def writer(self) -> str:
        """Printed name of whoever answered: on paper, whoever wrote it there.

        Of an entry that a device sent for somebody, whoever sent it, until that person signs.
        """
        if self.paper:
            return self.paper.writer_name
        return self.stamp.named.name if self.owned and self.stamp.named else self.stamp.name

    @property
    def named(self) -> str:
        """Printed name of whom a device named as the author, and who has not signed yet."""
        return self.stamp.named.name if self.stamp.named and not self.owned else ""


def entry_view(entry: Entry) -> EntryView:
    """The view of an entry of the record."""
    event = entry.event
    if isinstance(event, CheckCompleted):
        return _check_view(entry, event)
    if isinstance(event, SettingChecked):
        return _setting_view(entry, event)
    return _reading_view(entry, event)


def _check_view(entry: Entry, check: CheckCompleted) -> EntryView:
    return EntryView(
        id=entry.id,
        kind=Takes.CHECK,
        step=check.step,
        line=check.line,
        position=check.position,
        raw="yes" if check.answer else "no",
        verdict=(CheckAnswer.YES if check.answer else CheckAnswer.NO).value,
        stamp=entry.stamp,
        owned=entry.owned,
        supersedes=check.supersedes,
        reason=check.reason,
        copied_from_paper=check.copied_from_paper,
        paper=check.paper,
        remarks=check.remarks,
        note=check.note,
    )


def _reading_view(entry: Entry, reading: ReadingTaken) -> EntryView:
    return EntryView(
        id=entry.id,
        kind=Takes.READING if reading.quantity else Takes.CHOICE,
        step=reading.step,
        line=reading.line,
        position=reading.position,
        raw=reading.raw,
        verdict=reading.verdict,
        stamp=entry.stamp,
        owned=entry.owned,
        supersedes=reading.supersedes,
        reason=reading.reason,
        copied_from_paper=reading.copied_from_paper,
        paper=reading.paper,
        choice=reading.choice,
        quantity=reading.quantity,
        value=reading.value,
        unit=reading.unit,
        also=reading.also,
        canonical=reading.canonical,
        canonical_unit=reading.canonical_unit,
        unit_chosen=reading.unit_chosen,
        because=reading.because,
        limit=reading.limit,
        instrument=reading.instrument,
        expanded_uncertainty=reading.expanded_uncertainty,
        uncertainty_low=reading.uncertainty_low,
        uncertainty_high=reading.uncertainty_high,
        probability=reading.probability,
        remarks=reading.remarks,
    )


def _setting_view(entry: Entry, setting: SettingChecked) -> EntryView:
    return EntryView(
        id=entry.id,
        kind=Takes.SETTING,
        step=setting.step,
        line=setting.line,
        position=setting.position,
        raw=setting.raw,
        verdict=setting.verdict,
        stamp=entry.stamp,
        owned=entry.owned,
        supersedes=setting.supersedes,
        reason=setting.reason,
        copied_from_paper=setting.copied_from_paper,
        paper=setting.paper,
        setting=SettingView(
            setting.value,
            setting.unit,
            setting.canonical,
            setting.canonical_unit,
            setting.fasteners,
            setting.checked,
            setting.moved,
        ),
        quantity=setting.quantity,
        limit=setting.limit,
        instrument=setting.instrument,
        expanded_uncertainty=setting.expanded_uncertainty,
        uncertainty_low=setting.uncertainty_low,
        uncertainty_high=setting.uncertainty_high,
        probability=setting.probability,
        remarks=setting.remarks,
    )
