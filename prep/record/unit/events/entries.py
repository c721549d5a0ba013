"""Events of a unit's stream that keep what was answered in the boxes of its sheet."""

from prep.record.facts import InstrumentFacts, Paper
from prep.record.unit.events.base import Event
from prep.record.unit.frozen_limit import FrozenLimit
from prep.record.unit.remark import Remark


class Entry(Event, frozen=True, kw_only=True):
    """What was answered in a box; never overwritten, only superseded, with the reason."""

    step: str
    line: str
    position: str
    remarks: tuple[Remark, ...] = ()
    supersedes: str = ""
    reason: str = ""
    copied_from_paper: bool = False
    paper: Paper | None = None


class Judged(Entry, frozen=True, kw_only=True):
    """What was typed in a box, and judged.

    `value` and `unit` are as typed, `canonical` is in the quantity's canonical unit; all three are
    empty where the text is not a measurement. `unit_chosen` is the unit chosen beside the text.
    `expanded_uncertainty` is in the canonical unit with coverage factor 2, `uncertainty_low` and
    `uncertainty_high` are those at the two limits, from which the guard bands follow. `overdue`
    says that its instrument was past its calibration, both when it was used and when that was
    recorded.
    """

    raw: str
    verdict: str
    quantity: str = ""
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


class ReadingTaken(Judged, frozen=True, kw_only=True, tag="reading.taken"):
    """A reading as typed, converted and judged.

    `because` says why nothing was measured, of a reading that never counts.
    """

    reading: str
    because: str = ""
    also: str = ""
    choice: str = ""


class SettingChecked(Judged, frozen=True, kw_only=True, tag="setting.checked"):
    """Fasteners were gone over with a tool that clicks at what it is set to.

    Nothing was measured: `value` is what the tool was set to. `checked` of `fasteners` were gone
    over, `moved` of them turned before it clicked.
    """

    setting: str
    fasteners: int
    checked: int
    moved: int


class CheckCompleted(Entry, frozen=True, kw_only=True, tag="check.completed"):
    """A yes/no line was answered."""

    check: str
    answer: bool
    note: str = ""


EntryEvent = ReadingTaken | CheckCompleted | SettingChecked


def entry_id(event: EntryEvent) -> str:
    """The id of an entry."""
    match event:
        case ReadingTaken():
            return event.reading
        case SettingChecked():
            return event.setting
        case CheckCompleted():
            return event.check
