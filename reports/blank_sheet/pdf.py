"""Pages of a blank sheet: large boxes to write in, and each caution before its step.

Black on white, with room for a pen held in a glove. Each page names the unit: pages get apart in a
yard.
"""

from collections.abc import Iterator
from typing import Any, Final

from reportlab.lib.units import mm
from reportlab.platypus import Flowable, Paragraph, Table, TableStyle

from reports.blank_sheet.facts import BlankBox, BlankFacts, BlankLine, BlankStep
from reports.bundles.contents import machine
from reports.pdf import page
from reports.pdf.parts import INK, PADDING, Heading, box, label, space, together
from reports.pdf.qr import QrCode
from reports.pdf.typeface import (
    CELL,
    LABEL,
    LARGE,
    NOTE,
    TEXT,
    TITLE,
    bold,
    fitted,
    joined,
    plain,
    small,
)

QR_SIDE: Final = 34 * mm
WRITTEN: Final = 13 * mm  # height of a box a gloved hand writes in
TICKED: Final = 11 * mm
SIGNED: Final = 12 * mm
ASKED: Final = 0.44  # of the width: the question, its limit, its instrument
PEOPLE: Final = 3
TICKS: Final = TEXT.clone("ticks", leading=17)
TICK: Final = '<font size="15">□</font>'
DEFERENCE: Final = (
    "The maker's manual for this serial number comes first, and so do local codes and trained or "
    "licensed practice. This sheet does not replace the manual, and it does not widen any limit "
    "in it. Work in the order printed: each caution stands before the work it protects."
)
FILLING: Final = (
    "Write what the instrument shows, with its unit; “OK” is not a reading.",
    "A slip: one line through it so that it stays readable, the right value beside it, initials.",
    "Beyond a limit: write it down all the same, stop, and tell the service manager.",
    "Afterwards take a picture of every page and copy the values into the record. Whoever did the "
    "work signs there with their own PIN; initials on paper are not a sign-off.",
)


def blank_pages(facts: BlankFacts, paper: str, number: str) -> bytes:
    """Pages of a blank sheet as PDF. The same facts give the same bytes."""
    width = page.room(paper)
    named = machine(facts.maker, facts.model)
    story = [*_front(facts, width)]
    for place, (title, steps) in enumerate(facts.sections, 1):
        above: list[Flowable] = [Heading(title, f"section-{place}")]
        for step in steps:
            story += [together(*above, *_step(step, width)), space(3)]
            above = []
    revision = f"{facts.procedure}, revision {facts.revision}"
    running = page.Running(
        head=(f"Sheet of {named}", f"serial {facts.serial}"),
        foot=(f"{revision}. The maker's manual comes first.", f"mark {facts.mark}"),
    )
    about = page.About(
        title=f"Sheet {number}: {named}, serial {facts.serial}",
        subject=f"{facts.title}, to fill in by hand",
        author=facts.dealer,
    )
    return page.document(story, paper, running, about)


def _front(facts: BlankFacts, width: float) -> Iterator[Flowable]:
    yield _machine(facts, width)
    yield space(2)
    yield box([Paragraph(bold("Read this first"), CELL), Paragraph(DEFERENCE, CELL)], width)
    yield space(1.5)
    yield Paragraph(joined(*(f"{n}. {plain(t)}" for n, t in enumerate(FILLING, 1))), CELL)
    yield space(2)
    yield _people(width)


def _machine(facts: BlankFacts, width: float) -> Table:
    room = width - QR_SIDE - 4 * mm
    options = f", with {', '.join(facts.options)}" if facts.options else ""
    tractor = facts.tractor or "not known yet: steps that depend on it wait"
    sheet = f"{facts.procedure}, revision {facts.revision}, mark {facts.mark}"
    left: list[Flowable] = [
        Paragraph("Preparation sheet", TITLE),
        fitted(machine(facts.maker, facts.model), room, 14, 9),
        label("serial number, as on the plate"),
        fitted(facts.serial, room, 26, 10),
        Paragraph(plain(f"{facts.dealer}, {facts.site}{options}"), CELL),
        Paragraph(f"buyer's tractor: {plain(tractor)}", CELL),
        Paragraph(f"{bold(sheet)}, {plain(facts.title)}", CELL),
        Paragraph(small(f"follows {plain(facts.manual)}. SHA-256 {facts.digest}"), CELL),
        Paragraph(small(plain(facts.note)), CELL),
    ]
    right = [QrCode(facts.address, QR_SIDE, "h"), Paragraph("opens this unit", NOTE)]
    flush = [(f"{side}PADDING", (0, 0), (-1, -1), 0) for side in ("LEFT", "RIGHT", "TOP")]
    return _table([[left, right]], [room + 4 * mm, QR_SIDE], *flush)


def _people(width: float) -> Table:
    """Table for the names and initials of those who fill in the sheet."""
    cells = [[label("name, in print"), label("initials"), label("day")] for _ in range(PEOPLE)]
    widths = [width * share for share in (0.6, 0.2, 0.2)]
    return _table(cells, widths, ("GRID", (0, 0), (-1, -1), 0.8, INK), heights=[10 * mm] * PEOPLE)


def _step(step: BlankStep, width: float) -> Iterator[Flowable]:
    """A step: cautions, what to do, boxes, initials; one that is settled says so and no more."""
    yield Paragraph(plain(f"{step.number}  {step.title}"), LARGE)
    if step.settled:
        yield Paragraph(f"✓ {plain(step.settled)}", TEXT)
        return
    for severity, text in step.cautions:
        yield _caution(severity, text, width)
        yield space(1)
    yield Paragraph(plain(step.do), TEXT)
    yield Paragraph(plain(_aside(step)), NOTE)
    yield space(1)
    for line in step.lines:
        yield _line(line, width)
    yield _signing(step, width)


def _aside(step: BlankStep) -> str:
    uses = f" Uses: {step.uses}." if step.uses else ""
    return f"For a {step.who}.{uses}"


def _caution(severity: str, text: str, width: float) -> Table:
    heavy = {"DANGER": 2.4, "WARNING": 1.6}.get(severity, 0.8)
    words = Paragraph(f"{bold(f'⚠ {severity}')}  {plain(text)}", CELL)
    return box([words], width, ("BOX", (0, 0), (-1, -1), heavy, INK))


def _line(line: BlankLine, width: float) -> Table:
    """A question with its limit at the left, and its boxes at the right, two in a row."""
    left, right = width * ASKED, width * (1 - ASKED)
    cells = [_to_write(line, one) for one in line.boxes]
    across = 2 if len(cells) > 1 else 1
    cells += [[] for _ in range(-len(cells) % across)]
    rows = [cells[place : place + across] for place in range(0, len(cells), across)]
    boxes = _table(
        rows,
        [right / across] * across,
        ("GRID", (0, 0), (-1, -1), 1, INK),
        heights=[WRITTEN if line.quantity else TICKED] * len(rows),
    )
    flush = [(f"{side}PADDING", (1, 0), (1, 0), 0) for side in ("LEFT", "RIGHT", "TOP", "BOTTOM")]
    asked = _table([[_asked(line, left)]], [left])
    return _table(
        [[asked, boxes]],
        [left, right],
        ("LINEABOVE", (0, 0), (-1, -1), 0.8, INK),
        ("LEFTPADDING", (0, 0), (0, 0), 0),
        *flush,
    )


def _asked(line: BlankLine, width: float) -> list[Flowable]:
    parts = [Paragraph(bold(line.ask), TEXT)]
    # Stated once where all positions have the same; else beside each box.
    if len({(one.limit, one.source) for one in line.boxes}) == 1:
        parts += [Paragraph(text, CELL) for text in _limit(line.boxes[0])]
    if line.photo:
        parts.append(Paragraph(f"{TICK} picture taken (needed)", TICKS))
    if line.instrument:
        parts.append(space(1))
        parts.append(
            _table(
                [[label(f"{line.instrument}: its code")]],
                [width - 8 * mm],
                ("BOX", (0, 0), (-1, -1), 0.8, INK),
                heights=[10 * mm],
            )
        )
    return parts


def _limit(one: BlankBox) -> list[str]:
    if not one.limit:
        return []
    return [
        f"limit: {bold(one.limit)}" if one.source else plain(one.limit),
        small(plain(one.source)),
    ]


def _to_write(line: BlankLine, one: BlankBox) -> list[Flowable]:
    """Content of a box: its position, what to tick, and what the record holds already."""
    where = bold(one.position) if one.position else ""
    differing = len({other.limit for other in line.boxes}) > 1
    above = " · ".join(
        filter(None, (where, plain(one.limit, 80) if differing else "", _already(one)))
    )
    if not line.quantity:
        choices = line.choices or ("yes", "no")
        ticks = "&nbsp;&nbsp;&nbsp;".join(f"{TICK} {plain(choice)}" for choice in choices)
        return [Paragraph(above, LABEL), Paragraph(ticks, TICKS)]
    return [Paragraph(above or " ", LABEL)]


def _already(one: BlankBox) -> str:
    return f"in the record: {bold(one.entered, 60)}" if one.entered else ""


def _signing(step: BlankStep, width: float) -> Table:
    asked = ["cautions read (initials)"] if step.cautions else []
    asked += ["done by (initials)", "day and time"]
    asked += ["second person (initials)", "day and time"] if step.second_person else []
    cells = [[label(text) for text in asked]]
    return _table(
        cells,
        [width / len(asked)] * len(asked),
        ("GRID", (0, 0), (-1, -1), 0.8, INK),
        ("LINEABOVE", (0, 0), (-1, 0), 1.6, INK),
        heights=[SIGNED],
    )


def _table(
    rows: list[list[Any]], widths: list[float], *style: Any, heights: list[float] | None = None
) -> Table:
    table = Table(rows, widths, heights)
    table.setStyle(TableStyle([*PADDING, *style]))
    return table
