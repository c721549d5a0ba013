"""Facts of a blank sheet: the open steps and boxes of a unit's sheet, apart from the layout."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final
from zoneinfo import ZoneInfo

from django.utils.translation import gettext_noop as _

from prep.record.procedure.document import Caution, Procedure, Step
from prep.record.procedure.line import Line
from prep.record.refusal import Refusal
from prep.record.roles import Role
from prep.record.unit.commands.handwritten import mark_of
from prep.record.unit.events import CheckCompleted, SettingChecked
from prep.record.unit.limits import count_of, freeze
from prep.record.unit.sheet import Status, answered, cautions_of, statuses
from prep.record.unit.state import PREPARED, BoxKey, Record
from prep.record.unit.views.entry_view import entry_view
from prep.words import dates
from prep.words.lists import one_of
from prep.words.permissions import holder_text
from prep.words.reader import Reader, say
from prep.words.refusals import refusal_text
from prep.words.unit.asked_of import asked_of
from prep.words.unit.limits import basis_text, limit_text
from prep.words.unit.settings import gone_over, set_to

# Steps left out, and steps printed as settled. A step that waits for the tractor is printed open:
# its buyer may come.
LEFT_OUT: Final = frozenset({Status.DOES_NOT_APPLY})
SETTLED: Final = {
    Status.DONE: _("Done. Prepared by {name}, {when}."),
    Status.AWAITS_SECOND: _("Prepared by {name}, {when}. Waits for the second person."),
    Status.NOT_APPLICABLE: _("Marked not applicable: {reason}"),
}


@dataclass(frozen=True)
class BlankBox:
    """A box to write in; `entered` is what the record holds of it already."""

    position: str
    limit: str
    source: str
    entered: str


@dataclass(frozen=True)
class BlankLine:
    """A question and its boxes. Without quantity and choices it is answered yes or no.

    With `setting` its tool clicks at what it is set to: the counts are written beside that, of
    `fasteners` where their number is known.
    """

    ask: str
    quantity: str
    setting: bool
    fasteners: int
    choices: tuple[str, ...]
    instrument: str
    photo: bool
    boxes: tuple[BlankBox, ...]


@dataclass(frozen=True)
class BlankStep:
    """A step as printed; one that is `settled` already says how, and has nothing to write in."""

    number: int
    title: str
    do: str
    who: str
    uses: str
    cautions: tuple[Caution, ...]
    second_person: bool
    settled: str
    lines: tuple[BlankLine, ...]


@dataclass(frozen=True)
class BlankFacts:
    """Everything a blank sheet says; `stands_in` says for which lost one, where it is for one."""

    dealer: str
    site: str
    lines: tuple[str, ...]
    maker: str
    model: str
    serial: str
    options: tuple[str, ...]
    tractor: str
    address: str
    procedure: str
    revision: int
    title: str
    manual: str
    note: str
    mark: str
    digest: str
    sections: tuple[tuple[str, tuple[BlankStep, ...]], ...]
    stands_in: str = ""


def blank_facts(
    record: Record,
    reader: Reader,
    *,
    dealer: str,
    site: str,
    address: str,
    lines: tuple[str, ...] = (),
    stands_in: str = "",
) -> BlankFacts:
    """Facts of the sheet pinned to a unit; raises Refusal where none is started."""
    procedure, sheet = record.procedure, record.sheet
    if procedure is None or sheet is None:
        raise Refusal("no-sheet")
    return BlankFacts(
        dealer=dealer,
        site=site,
        lines=lines,
        maker=record.maker,
        model=record.model.name if record.model else "",
        serial=record.serial,
        options=record.options,
        tractor=record.tractor.name if record.tractor else "",
        address=address,
        procedure=procedure.procedure,
        revision=procedure.revision,
        title=procedure.title,
        manual=procedure.manual,
        note=procedure.note,
        mark=mark_of(sheet.digest),
        digest=sheet.digest,
        sections=tuple(_sections(record, procedure, reader)),
        stands_in=stands_in,
    )


def _sections(
    record: Record, procedure: Procedure, reader: Reader
) -> Iterator[tuple[str, tuple[BlankStep, ...]]]:
    by_step = statuses(record)
    numbers = {code: number for number, code in enumerate(procedure.steps, 1)}
    for section in procedure.sections:
        steps = tuple(
            _step(record, step, numbers[step.step], by_step[step.step], reader)
            for step in section.steps
            if by_step[step.step] not in LEFT_OUT
        )
        if steps:
            yield section.title, steps


def _step(record: Record, step: Step, number: int, status: Status, reader: Reader) -> BlankStep:
    settled = _settled(record, step, status, reader)
    return BlankStep(
        number=number,
        title=step.title,
        do=step.do,
        who=one_of((holder_text(Role(who), reader) for who in step.who), reader),
        uses=", ".join(
            f"{use.item} ({use.amount})" if use.amount else use.item for use in step.consumables
        ),
        cautions=tuple(cautions_of(record, step).values()),
        second_person=step.second_person,
        settled=settled,
        lines=() if settled else tuple(_line(record, step, line, reader) for line in step.lines),
    )


def _settled(record: Record, step: Step, status: Status, reader: Reader) -> str:
    """How a step was settled already; empty while it is open."""
    if status not in SETTLED:
        return ""
    state = record.step_state(step.step)
    if state.skipped:
        return say(reader, SETTLED[status], reason=state.skipped)
    stamp = state.signatures[PREPARED].stamp
    when = dates.short_moment(stamp.happened.astimezone(ZoneInfo(reader.time_zone)), reader)
    return say(reader, SETTLED[status], name=stamp.name, when=when)


def _line(record: Record, step: Step, line: Line, reader: Reader) -> BlankLine:
    return BlankLine(
        ask=" ".join(filter(None, (line.ask, _only(record, line, reader)))),
        quantity=line.quantity,
        setting=line.setting is not None,
        fasteners=_fasteners(record, line),
        choices=line.choices,
        instrument=line.instrument.kind if line.instrument else "",
        photo=line.photo,
        boxes=tuple(_box(record, step, line, position, reader) for position in line.boxes),
    )


def _only(record: Record, line: Line, reader: Reader) -> str:
    """Of which units a line is asked, in brackets; empty where it is every one."""
    only = asked_of(record, line, reader)
    return f"({only})" if only else ""


def _fasteners(record: Record, line: Line) -> int:
    """How many fasteners a setting is about; 0 for no setting, or where the number is not known."""
    if line.setting is None:
        return 0
    try:
        return count_of(record, line.setting.fasteners, "")
    except Refusal:
        return 0


def _box(record: Record, step: Step, line: Line, position: str, reader: Reader) -> BlankBox:
    limit, source = _limit(record, line, position, reader)
    entered = _entered(record, (step.step, line.line, position), reader)
    return BlankBox(position, limit, source, entered)


def _limit(record: Record, line: Line, position: str, reader: Reader) -> tuple[str, str]:
    """A box's limit in words and its source, or the reason why it is not known yet."""
    try:
        limit = freeze(record, line, position)
    except Refusal as no:
        return say(reader, "Limit not known yet: {why}", why=refusal_text(no, reader)), ""
    if limit is None:
        return "", ""
    basis = basis_text(limit.basis, reader)
    source = say(reader, "{basis}: {source}", basis=basis, source=limit.source)
    return limit_text(limit, reader), source


def _entered(record: Record, key: BoxKey, reader: Reader) -> str:
    if not answered(record, key):
        return ""
    current = record.boxes[key].current
    assert current is not None  # it is answered
    match current.event:
        case CheckCompleted(answer=answer):
            return say(reader, "yes") if answer else say(reader, "no")
        case SettingChecked():
            view = entry_view(current)
            return f"{set_to(view, reader)}, {gone_over(view, reader)}"
        case reading:
            return reading.raw
