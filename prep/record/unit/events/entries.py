"""Events of a unit's stream that keep what was answered in the boxes of its sheet."""

from prep.record.facts import InstrumentFacts, Paper
from prep.record.unit.events.base import Event
from prep.record.unit.frozen_limit import FrozenLimit
from prep.record.unit.remark import Remark


class ReadingTaken(Event, frozen=True, tag="reading.taken"):
    """A reading as typed, converted and judged; never overwritten, only superseded.

    `value` and `unit` are as typed, `canonical` is in the quantity's canonical unit; all three are
    empty where the text is not a measurement. `expanded_uncertainty` is in the canonical unit with
    coverage factor 2, `uncertainty_low` and `uncertainty_high` are those at the two limits, from
    which the guard bands follow. `overdue` says that its instrument was past its calibration, both
    when it was read and when that was recorded. `unit_chosen` is the unit chosen beside the text;
    `because` says why nothing was measured, of a reading that never counts.
    """

    reading: str
    step: str
    line: str
    position: str
    raw: str
    verdict: str
    because: str = ""
    quantity: str = ""
    unit_chosen: str = ""
    value: str = ""
    unit: str = ""
    also: str = ""
    canonical: str = ""
    canonical_unit: str = ""
    choice: str = ""
    limit: FrozenLimit | None = None
    instrument: InstrumentFacts | None = None
    expanded_uncertainty: str = ""
    uncertainty_low: str = ""
    uncertainty_high: str = ""
    probability: str = ""
    overdue: bool = False
    remarks: tuple[Remark, ...] = ()
    supersedes: str = ""
    reason: str = ""
    copied_from_paper: bool = False
    paper: Paper | None = None


class SettingChecked(Event, frozen=True, tag="setting.checked"):
    """Fasteners were gone over with a tool that clicks at what it is set to.

    Nothing was measured: `value` and `unit` are what the tool was set to, as typed, `canonical` the
    same in the canonical unit. `checked` of `fasteners` were gone over, `moved` of them turned
    before it clicked. The uncertainties are those of the tool, as with a reading.
    """

    setting: str
    step: str
    line: str
    position: str
    raw: str
    verdict: str
    quantity: str
    fasteners: int
    checked: int
    moved: int
    value: str = ""
    unit: str = ""
    unit_chosen: str = ""
    canonical: str = ""
    canonical_unit: str = ""
    limit: FrozenLimit | None = None
    instrument: InstrumentFacts | None = None
    expanded_uncertainty: str = ""
    uncertainty_low: str = ""
    uncertainty_high: str = ""
    probability: str = ""
    overdue: bool = False
    remarks: tuple[Remark, ...] = ()
    supersedes: str = ""
    reason: str = ""
    copied_from_paper: bool = False
    paper: Paper | None = None


class CheckCompleted(Event, frozen=True, tag="check.completed"):
    """A yes/no line was answered."""

    check: str
    step: str
    line: str
    position: str
    answer: bool
    note: str = ""
    remarks: tuple[Remark, ...] = ()
    supersedes: str = ""
    reason: str = ""
    copied_from_paper: bool = False
    paper: Paper | None = None


EntryEvent = ReadingTaken | CheckCompleted | SettingChecked
Tooled = ReadingTaken | SettingChecked  # done with an instrument


def entry_id(event: EntryEvent) -> str:
    """The id of an entry."""
    match event:
        case ReadingTaken():
            return event.reading
        case SettingChecked():
            return event.setting
        case CheckCompleted():
            return event.check
