"""Flags that entries raise and close on their boxes."""

from typing import Final
from uuid import UUID, uuid5

from prep.record.procedure.document import Step
from prep.record.refusal import Refusal
from prep.record.roles import Context
from prep.record.unit import events as e
from prep.record.unit.flag_facts import Closing, Origin
from prep.record.unit.guards import box_name
from prep.record.unit.remark import differences
from prep.record.unit.state import BoxKey, Record
from prep.rules.conformity.judgment import SettingAnswer, Verdict

REFUSED: Final = frozenset({Verdict.NONCONFORMING, Verdict.NONCONFORMING_GUARD})
_OF_SETTING: Final[dict[str, Origin]] = {
    SettingAnswer.OUT_OF_LIMIT: Origin.SETTING,
    SettingAnswer.NEAR_LIMIT: Origin.GUARD_BAND,
    SettingAnswer.MOVED: Origin.MOVED,
    SettingAnswer.LEFT_OUT: Origin.LEFT_OUT,
}


def reading_flags(
    record: Record, context: Context, key: BoxKey, taken: e.ReadingTaken
) -> list[e.Event]:
    """Events that a reading causes for the flag of its box."""
    if taken.verdict == Verdict.NOT_MEASURED:
        if not taken.because:
            return []  # a note
        return raise_or_close(record, context, key, Origin.UNMEASURED)
    origin = None
    if taken.verdict in REFUSED:
        origin = Origin.READING
    elif taken.verdict == Verdict.CONFORMING_GUARD:
        origin = Origin.GUARD_BAND
    elif differences(taken.remarks):
        origin = Origin.MOMENTS
    elif taken.overdue:
        origin = Origin.INSTRUMENT
    return raise_or_close(record, context, key, origin)


def setting_flags(
    record: Record, context: Context, key: BoxKey, done: e.SettingChecked
) -> list[e.Event]:
    """Events that a checked setting causes for the flag of its box."""
    if done.verdict == Verdict.NOT_MEASURED:
        return []
    origin = _OF_SETTING.get(done.verdict)
    if origin is None and differences(done.remarks):
        origin = Origin.MOMENTS
    elif origin is None and done.overdue:
        origin = Origin.INSTRUMENT
    return raise_or_close(record, context, key, origin)


def check_flags(
    record: Record, context: Context, key: BoxKey, done: e.CheckCompleted
) -> list[e.Event]:
    """Events that the answer of a check causes for the flag of its box."""
    origin = None
    if not done.answer:
        origin = Origin.CHECK
    elif differences(done.remarks):
        origin = Origin.MOMENTS
    return raise_or_close(record, context, key, origin)


def check_no_flag_is_hidden(record: Record, step: Step, key: BoxKey) -> None:
    """Refuse to put "not measured" in the place of a reading whose flag is open."""
    if not may_be_omitted(record, key):
        raise Refusal("flag-stands", box=box_name(step, key))


def may_be_omitted(record: Record, key: BoxKey) -> bool:
    """Whether no flag of a reading stands in a box."""
    flag = record.flags.get(record.open_flag_at.get(key, ""))
    return flag is None or flag.about.origin == Origin.UNMEASURED


def raise_or_close(
    record: Record, context: Context, key: BoxKey, origin: Origin | None
) -> list[e.Event]:
    """Close the open flag of a box; raise a new one where `origin` says what raised it."""
    entry = str(context.command)
    closing: list[e.Event] = []
    if key in record.open_flag_at:
        how = Closing.SUPERSEDED if origin else Closing.CONFORMING_ENTRY
        closing = [e.FlagClosed(record.open_flag_at[key], how.value, reading=entry)]
    if origin is None:
        return closing
    step, line, position = key
    flag = e.FlagRaised(
        flag=str(uuid5(UUID(entry), "flag")),
        origin=origin.value,
        step=step,
        line=line,
        position=position,
        reading=entry,
    )
    return [*closing, flag]
