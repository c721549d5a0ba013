"""Events of a unit in words, as its history tells them."""

from collections.abc import Callable, Sequence
from typing import Any, Final

import msgspec

from prep.record.unit import events as e
from prep.record.unit.events.identity import ModelCorrected, PhotoMarked, PlateCorrected
from prep.record.unit.state import Record
from prep.words import verdicts
from prep.words.commands import COPIED, EVENTS
from prep.words.lists import all_of
from prep.words.reader import Reader, say
from prep.words.unit import flags, signatures


def event_text(event: e.UnitEvent, record: Record, reader: Reader) -> str:
    """What an event says to whoever reads the history of its unit."""
    tag = str(event.__struct_config__.tag)
    text = EVENTS.get(f"{tag} {_variant(event)}") or EVENTS[tag]
    said = say(reader, text, **_values(event, record, reader)).strip()
    paper = getattr(event, "paper", None)
    return f"{said} {say(reader, COPIED, writer=paper.writer_name)}" if paper else said


def _variant(event: e.UnitEvent) -> str:
    """Which sentence of its kind an event has; empty for the usual one."""
    chosen = _VARIANTS.get(type(event))
    return chosen(event) if chosen else ""


_VARIANTS: Final[dict[type, Callable[[Any], str]]] = {
    e.Placed: lambda x: "" if x.place else "nowhere",
    e.ReadingTaken: lambda x: "replaces" if x.supersedes and x.reason else "",
    e.SettingChecked: lambda x: "replaces" if x.supersedes and x.reason else "",
    e.CheckCompleted: lambda x: "" if x.answer else "no",
    e.PhotoAttached: lambda x: "page" if x.of_paper else "plate" if x.of_plate else "",
    PhotoMarked: lambda x: "" if x.people else "none",
    ModelCorrected: lambda x: "steps" if x.reopened or x.kept else "",
    PlateCorrected: lambda x: "" if x.maker == x.was_maker else "maker",
    e.FlagClosed: lambda x: x.how,
    e.Released: lambda x: x.ready_for,
    e.Reopened: lambda x: "" if x.steps else "nothing",
    e.RegistrationAnswered: lambda x: "" if x.accepted else "refused",
    e.DocumentIssued: lambda x: "instead" if x.instead else "",
}


def _values(event: e.UnitEvent, record: Record, reader: Reader) -> dict[str, Any]:
    """The fields of an event, and of what is in them, in words."""
    values: dict[str, Any] = {}
    for name, value in msgspec.structs.asdict(event).items():
        inner = msgspec.structs.asdict(value) if isinstance(value, msgspec.Struct) else {}
        values = {**inner, **values, name: value}
    values |= _places(values, record)
    if "verdict" in values:
        values["verdict"] = verdicts.word(values["verdict"], reader)
    if isinstance(event, e.SheetStarted | e.SheetMoved):
        values["title"] = record.procedure.title if record.procedure else event.procedure
    if isinstance(event, e.Reopened):
        values["steps"] = _titles(event.steps, record, reader)
    if isinstance(event, ModelCorrected):
        for name in ("reopened", "kept"):
            values[name] = _titles(values[name], record, reader)
    if isinstance(event, e.StepSigned):
        values["meaning"] = signatures.meaning(event.meaning, reader)
    if isinstance(event, e.ShortageArrived):
        values["part"] = record.shortages[event.shortage].event.part
    if isinstance(event, e.FlagRaised | e.FlagClosed | e.ConcessionGranted):
        flag = record.flags[event.flag]
        values |= {
            "flag": flags.flag_text(flag.about, reader),
            "how": flags.closing_word(flag, reader),
        }
    return values


def _titles(steps: Sequence[str], record: Record, reader: Reader) -> str:
    """Steps by their titles, or that there are none."""
    known = record.procedure.steps if record.procedure else {}
    titles = [known[code].title if code in known else code for code in steps]
    return all_of(titles, reader) if titles else say(reader, "none")


def _places(values: dict[str, Any], record: Record) -> dict[str, str]:
    """The step of an event by its title, and its box by what is asked there."""
    step = record.procedure.steps.get(values.get("step", "")) if record.procedure else None
    if step is None:
        return {"box": str(values.get("line", ""))}
    line = step.by_line.get(values.get("line", ""))
    ask, position = (line.ask if line else step.title), values.get("position", "")
    return {"step": step.title, "box": f"{ask} ({position})" if position else ask}
