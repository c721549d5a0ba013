"""Facts of a blank sheet: the open steps and boxes of a unit's sheet, apart from the layout."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import tzinfo

from prep.record.procedure.document import Line, Procedure, Step
from prep.record.refusal import Refusal
from prep.record.unit.commands.handwritten import mark_of
from prep.record.unit.limits import freeze
from prep.record.unit.sheet import Status, answered, cautions_of, statuses
from prep.record.unit.state import PREPARED, Record
from prep.words.reader import ENGLISH
from prep.words.refusals import refusal_text
from prep.words.unit.limits import limit_text
from reports.certificate.gather.sheet import signed

# Steps left out, and steps printed as settled. A step that waits for the tractor is printed open:
# its buyer may come.
LEFT_OUT = frozenset({Status.DOES_NOT_APPLY})
SETTLED = frozenset({Status.DONE, Status.AWAITS_SECOND, Status.NOT_APPLICABLE})


@dataclass(frozen=True)
class BlankBox:
    """A box to write in; `entered` is what the record holds of it already."""

    position: str
    limit: str
    source: str
    entered: str


@dataclass(frozen=True)
class BlankLine:
    """A question and its boxes. Without quantity and choices it is answered yes or no."""

    ask: str
    quantity: str
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
    cautions: tuple[tuple[str, str], ...]
    second_person: bool
    settled: str
    lines: tuple[BlankLine, ...]


@dataclass(frozen=True)
class BlankFacts:
    """Everything a blank sheet says."""

    dealer: str
    site: str
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


def blank_facts(
    record: Record, *, dealer: str, site: str, zone: tzinfo, address: str
) -> BlankFacts:
    """Facts of the sheet pinned to a unit; raises Refusal where none is started."""
    procedure, sheet = record.procedure, record.sheet
    if procedure is None or sheet is None:
        raise Refusal("no-sheet")
    return BlankFacts(
        dealer=dealer,
        site=site,
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
        sections=tuple(_sections(record, procedure, zone)),
    )


def _sections(
    record: Record, procedure: Procedure, zone: tzinfo
) -> Iterator[tuple[str, tuple[BlankStep, ...]]]:
    by_step = statuses(record)
    numbers = {code: number for number, code in enumerate(procedure.steps, 1)}
    for section in procedure.sections:
        steps = tuple(
            _step(
                record, step, numbers[step.step], _settled(record, step, by_step[step.step], zone)
            )
            for step in section.steps
            if by_step[step.step] not in LEFT_OUT
        )
        if steps:
            yield section.title, steps


def _settled(record: Record, step: Step, status: Status, zone: tzinfo) -> str:
    """How a step was settled already; empty while it is open."""
    if status not in SETTLED:
        return ""
    state = record.step_state(step.step)
    if state.skipped:
        return f"marked not applicable: {state.skipped}"
    by = signed(state.signatures[PREPARED].stamp, PREPARED, zone)
    return f"{status.value}: prepared by {by.name}, {by.at:%Y-%m-%d %H:%M}"


def _step(record: Record, step: Step, number: int, settled: str) -> BlankStep:
    return BlankStep(
        number=number,
        title=step.title,
        do=step.do,
        who=" or ".join(step.who),
        uses=", ".join(
            f"{use.item} ({use.amount})" if use.amount else use.item for use in step.consumables
        ),
        cautions=tuple((one.severity, one.text) for one in cautions_of(record, step).values()),
        second_person=step.second_person,
        settled=settled,
        lines=() if settled else tuple(_line(record, step, line) for line in step.lines),
    )


def _line(record: Record, step: Step, line: Line) -> BlankLine:
    return BlankLine(
        ask=line.ask,
        quantity=line.quantity,
        choices=line.choices,
        instrument=line.instrument.kind if line.instrument else "",
        photo=line.photo,
        boxes=tuple(_box(record, step, line, position) for position in line.boxes),
    )


def _box(record: Record, step: Step, line: Line, position: str) -> BlankBox:
    limit, source = _limit(record, line, position)
    return BlankBox(position, limit, source, _entered(record, (step.step, line.line, position)))


def _limit(record: Record, line: Line, position: str) -> tuple[str, str]:
    """A box's limit in words and its source, or the reason why it is not known yet."""
    try:
        limit = freeze(record, line, position)
    except Refusal as no:
        return f"Limit not known yet: {refusal_text(no, ENGLISH)}", ""
    return (limit_text(limit, ENGLISH), f"{limit.basis}: {limit.source}") if limit else ("", "")


def _entered(record: Record, key: tuple[str, str, str]) -> str:
    if not answered(record, key):
        return ""
    current = record.boxes[key].current
    assert current is not None  # it is answered
    event = current.event
    return getattr(event, "raw", "") or ("yes" if getattr(event, "answer", False) else "no")
