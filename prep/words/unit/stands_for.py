"""What a release stands for, in words: what each kind is called, and each item with its place."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Final

from django.utils.translation import gettext_noop as _

from prep.record.unit.guards import box_name
from prep.record.unit.stands_for import Item, Kind
from prep.record.unit.state import Record
from prep.words.reader import Reader, say
from prep.words.unit.flags import flag_text
from prep.words.unit.limits import limit_text
from prep.words.unit.remarks import remark_text
from prep.words.unit.signatures import nothing_to_redo

TITLES: Final[dict[Kind, str]] = {
    Kind.CONCESSION: _("Accepted by concession"),
    Kind.NEAR_LIMIT: _("Close to the limit"),
    Kind.MOMENTS: _("True at one moment only"),
    Kind.CONTRADICTS: _("Contradicted by other values"),
    Kind.PART: _("Part still missing"),
    Kind.PHOTO: _("Photo missing"),
    Kind.SKIPPED: _("Step marked not applicable"),
    Kind.REPLACED: _("Entry replaced"),
    Kind.LATE: _("Entered late"),
    Kind.PAPER: _("Copied from paper"),
    Kind.ALIKE: _("Typed alike"),
    Kind.WITHDRAWN: _("Earlier release withdrawn"),
}
NEAR_LIMIT: Final = _("“{typed}”, limit {limit}")
ACCEPTED: Final = _("{flag} Reason: {reason}")
REPLACED: Final = _("now “{typed}”: {reason}")
WRITTEN: Final = _("“{typed}”, written by {writer}")
REMARKED: Final = _("“{typed}”: {why}")
PART: Final = _("{count} × {part}")
ANSWERS: Final = {True: _("yes"), False: _("no")}


@dataclass(frozen=True)
class ShownItem:
    """An item in words: its kind as token and title, its place, and what it is."""

    kind: Kind
    title: str
    where: str
    text: str


def shown_item(item: Item, record: Record, reader: Reader) -> ShownItem:
    """An item of a record in words."""
    text = _TEXTS[item.kind](item.values, reader)
    return ShownItem(item.kind, say(reader, TITLES[item.kind]), _where(item, record), text)


def _where(item: Item, record: Record) -> str:
    """The step by its title, and the box by what is asked there."""
    step = record.procedure.steps.get(item.box[0]) if record.procedure else None
    if step is None:
        return ""
    return f"{step.title}: {box_name(step, item.box)}" if item.box[1] else step.title


def _typed(values: Any, reader: Reader) -> str:
    typed = values["typed"]
    return say(reader, ANSWERS[typed]) if isinstance(typed, bool) else str(typed)


def _near_limit(values: Any, reader: Reader) -> str:
    limit = limit_text(values["limit"], reader)
    return say(reader, NEAR_LIMIT, typed=values["typed"], limit=limit)


def _accepted(values: Any, reader: Reader) -> str:
    flag = flag_text(values["about"], reader)
    return say(reader, ACCEPTED, flag=flag, reason=values["reason"])


def _replaced(values: Any, reader: Reader) -> str:
    return say(reader, REPLACED, typed=_typed(values, reader), reason=values["reason"])


def _remarked(values: Any, reader: Reader) -> str:
    why = remark_text(values["remark"], reader)
    return say(reader, REMARKED, typed=_typed(values, reader), why=why)


def _written(values: Any, reader: Reader) -> str:
    return say(reader, WRITTEN, typed=_typed(values, reader), writer=values["writer"])


def _withdrawn(values: Any, reader: Reader) -> str:
    return f"{values['reason']} {nothing_to_redo(values['nothing_because'], reader)}".strip()


_TEXTS: Final[dict[Kind, Callable[[Any, Reader], str]]] = {
    Kind.CONCESSION: _accepted,
    Kind.NEAR_LIMIT: _near_limit,
    Kind.MOMENTS: _remarked,
    Kind.CONTRADICTS: _remarked,
    Kind.PART: lambda values, reader: say(reader, PART, **values),
    Kind.PHOTO: lambda values, reader: "",
    Kind.SKIPPED: lambda values, reader: str(values["reason"]),
    Kind.REPLACED: _replaced,
    Kind.LATE: _remarked,
    Kind.PAPER: _written,
    Kind.ALIKE: _remarked,
    Kind.WITHDRAWN: _withdrawn,
}
