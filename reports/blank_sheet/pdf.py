"""Pages of a blank sheet: large boxes to write in, and each caution before its step.

Black on white, with room for a pen held in a glove. Each page names the unit: pages get apart in a
yard.
"""

from collections.abc import Iterator
from typing import Any, Final

from django.utils.translation import gettext_noop as _
from reportlab.lib.units import mm
from reportlab.platypus import Flowable, Paragraph, Table, TableStyle

from prep.record.procedure.document import Caution
from prep.words.hazards import severity_text
from prep.words.reader import Reader, say
from reports.blank_sheet.facts import BlankBox, BlankFacts, BlankLine, BlankStep
from reports.bundles.contents import machine
from reports.numbers import check_address
from reports.pdf import page
from reports.pdf.parts import INK, PADDING, Heading, box, label, noted, space, together
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
DEFERENCE: Final = _(
    "The manufacturer's manual for this serial number, local codes, and licensed or trained "
    "practice come first. This sheet does not replace the manual and does not widen any limit in "
    "it. Work in the order printed: each caution comes before the work it protects."
)
FILLING: Final = (
    _("1. Write what the tool shows, with its unit. “OK” is not a reading."),
    _(
        "2. Mistake: strike it out with one line so that it can still be read, write the right "
        "value beside it, and initial it."
    ),
    _("3. Out of limit: write it down anyway, stop, and tell the service manager."),
    _(
        "4. When done, take a picture of every page and copy the values into the record. The "
        "person who did the work signs there with their own PIN; initials on paper are not a "
        "signature."
    ),
)


def blank_pages(facts: BlankFacts, paper: str, number: str, reader: Reader) -> bytes:
    """Pages of a blank sheet as PDF. The same facts give the same bytes."""
    width = page.room(paper)
    named = machine(facts.maker, facts.model)
    serial = say(reader, "Serial {serial}", serial=facts.serial)
    story = [*_front(facts, width, reader), Paragraph(small(plain(check_address(number))), CELL)]
    for place, (title, steps) in enumerate(facts.sections, 1):
        above: list[Flowable] = [Heading(title, f"section-{place}")]
        for step in steps:
            story += [together(*above, *_step(step, width, reader)), space(3)]
            above = []
    running = page.Running(
        head=(say(reader, "Preparation sheet: {machine}", machine=named), serial),
        foot=(
            say(
                reader,
                "{procedure}, revision {revision}. The manufacturer's manual comes first.",
                procedure=facts.procedure,
                revision=facts.revision,
            ),
            say(reader, "Mark {mark}", mark=facts.mark),
        ),
    )
    about = page.About(
        title=say(
            reader,
            "Sheet {number}: {machine}, {serial}",
            number=number,
            machine=named,
            serial=serial,
        ),
        subject=say(reader, "{title}, to fill in by hand", title=facts.title),
        author=facts.dealer,
        language=reader.language,
    )
    return page.document(story, paper, running, about)


def _front(facts: BlankFacts, width: float, reader: Reader) -> Iterator[Flowable]:
    first = Paragraph(bold(say(reader, "Read this first")), CELL)
    if facts.stands_in:
        yield noted(facts.stands_in, width)
        yield space(2)
    yield _machine(facts, width, reader)
    yield space(2)
    yield box([first, Paragraph(plain(say(reader, DEFERENCE)), CELL)], width)
    yield space(1.5)
    yield Paragraph(joined(*(plain(say(reader, text)) for text in FILLING)), CELL)
    yield space(2)
    yield _people(width, reader)


def _machine(facts: BlankFacts, width: float, reader: Reader) -> Table:
    room = width - QR_SIDE - 4 * mm
    sheet = say(
        reader,
        "{procedure}, revision {revision}, mark {mark}",
        procedure=facts.procedure,
        revision=facts.revision,
        mark=facts.mark,
    )
    manual = say(reader, "Follows {manual}.", manual=facts.manual)
    digest = f"SHA-256: {facts.digest}"
    left: list[Flowable] = [
        Paragraph(plain(say(reader, "Preparation sheet")), TITLE),
        fitted(machine(facts.maker, facts.model), room, 14, 9),
        label(say(reader, "serial number, as on the plate")),
        fitted(facts.serial, room, 26, 10),
        *(Paragraph(plain(line), CELL) for line in _sold_to(facts, reader)),
        Paragraph(f"{bold(sheet)}, {plain(facts.title)}", CELL),
        Paragraph(small(f"{plain(manual)} {digest}"), CELL),
        Paragraph(small(plain(facts.note)), CELL),
    ]
    opens = Paragraph(plain(say(reader, "opens this unit")), NOTE)
    right = [QrCode(facts.address, QR_SIDE, "h"), opens]
    flush = [(f"{side}PADDING", (0, 0), (-1, -1), 0) for side in ("LEFT", "RIGHT", "TOP")]
    return _table([[left, right]], [room + 4 * mm, QR_SIDE], *flush)


def _sold_to(facts: BlankFacts, reader: Reader) -> Iterator[str]:
    """Lines of the machine's yard, its options, and the tractor it is sold to."""
    yield f"{facts.dealer}, {facts.site}"
    yield from facts.lines
    if facts.options:
        yield say(reader, "Options: {options}", options=", ".join(facts.options))
    if facts.tractor:
        yield say(reader, "Buyer's tractor: {tractor}", tractor=facts.tractor)
    else:
        yield say(reader, "Buyer's tractor: not known yet. The steps that need it must wait.")


def _people(width: float, reader: Reader) -> Table:
    """Table for the names and initials of those who fill in the sheet."""
    asked = (say(reader, "print name"), say(reader, "initials"), say(reader, "date"))
    cells = [[label(text) for text in asked] for _row in range(PEOPLE)]
    widths = [width * share for share in (0.6, 0.2, 0.2)]
    return _table(cells, widths, ("GRID", (0, 0), (-1, -1), 0.8, INK), heights=[10 * mm] * PEOPLE)


def _step(step: BlankStep, width: float, reader: Reader) -> Iterator[Flowable]:
    """A step: cautions, what to do, boxes, initials; one that is settled says so and no more."""
    yield Paragraph(plain(f"{step.number}  {step.title}"), LARGE)
    if step.settled:
        yield Paragraph(f"✓ {plain(step.settled)}", TEXT)
        return
    for caution in step.cautions:
        yield _caution(caution, width, reader)
        yield space(1)
    yield Paragraph(plain(step.do), TEXT)
    yield Paragraph(plain(_aside(step, reader)), NOTE)
    yield space(1)
    for line in step.lines:
        yield _line(line, width, reader)
    yield _signing(step, width, reader)


def _aside(step: BlankStep, reader: Reader) -> str:
    if step.uses:
        return say(
            reader, "To be done by {who}. Uses: {supplies}.", who=step.who, supplies=step.uses
        )
    return say(reader, "To be done by {who}.", who=step.who)


def _caution(caution: Caution, width: float, reader: Reader) -> Table:
    heavy = {"DANGER": 2.4, "WARNING": 1.6}.get(caution.severity, 0.8)
    severity = bold(f"⚠ {severity_text(caution.severity, reader)}")
    words = Paragraph(f"{severity}  {plain(caution.text)}", CELL)
    return box([words], width, ("BOX", (0, 0), (-1, -1), heavy, INK))


def _line(line: BlankLine, width: float, reader: Reader) -> Table:
    """A question with its limit at the left, and its boxes at the right, two in a row."""
    left, right = width * ASKED, width * (1 - ASKED)
    cells = [_to_write(line, one, reader) for one in line.boxes]
    across = 2 if len(cells) > 1 else 1
    cells += [[] for _missing in range(-len(cells) % across)]
    rows = [cells[place : place + across] for place in range(0, len(cells), across)]
    boxes = _table(
        rows,
        [right / across] * across,
        ("GRID", (0, 0), (-1, -1), 1, INK),
        heights=[WRITTEN if line.quantity else TICKED] * len(rows),
    )
    flush = [(f"{side}PADDING", (1, 0), (1, 0), 0) for side in ("LEFT", "RIGHT", "TOP", "BOTTOM")]
    asked = _table([[_asked(line, left, reader)]], [left])
    return _table(
        [[asked, boxes]],
        [left, right],
        ("LINEABOVE", (0, 0), (-1, -1), 0.8, INK),
        ("LEFTPADDING", (0, 0), (0, 0), 0),
        *flush,
    )


def _asked(line: BlankLine, width: float, reader: Reader) -> list[Flowable]:
    parts = [Paragraph(bold(line.ask), TEXT)]
    # Stated once where all positions have the same; else beside each box.
    if len({(one.limit, one.source) for one in line.boxes}) == 1:
        parts += [Paragraph(text, CELL) for text in _limit(line.boxes[0], reader)]
    if line.photo:
        taken = say(reader, "picture taken (required)")
        parts.append(Paragraph(f"{TICK} {plain(taken)}", TICKS))
    if line.instrument:
        code = say(reader, "{tool}: code on its label", tool=line.instrument)
        parts.append(space(1))
        parts.append(
            _table(
                [[label(code)]],
                [width - 8 * mm],
                ("BOX", (0, 0), (-1, -1), 0.8, INK),
                heights=[10 * mm],
            )
        )
    return parts


def _limit(one: BlankBox, reader: Reader) -> list[str]:
    if not one.limit:
        return []
    if not one.source:
        return [plain(one.limit)]
    limit = say(reader, "Limit: {limit}", limit=bold(one.limit))
    return [limit, small(plain(one.source))]


def _to_write(line: BlankLine, one: BlankBox, reader: Reader) -> list[Flowable]:
    """Content of a box: its position, what to tick, and what the record holds already."""
    where = bold(one.position) if one.position else ""
    differing = len({other.limit for other in line.boxes}) > 1
    limit = plain(one.limit, 80) if differing else ""
    above = " · ".join(filter(None, (where, limit, _already(one, reader))))
    if not line.quantity:
        choices = line.choices or (say(reader, "yes"), say(reader, "no"))
        ticks = "&nbsp;&nbsp;&nbsp;".join(f"{TICK} {plain(choice)}" for choice in choices)
        return [Paragraph(above, LABEL), Paragraph(ticks, TICKS)]
    if line.setting:
        total = str(line.fasteners) if line.fasteners else "____"
        counts = say(reader, "gone over: ____ of {fasteners}, moved: ____", fasteners=total)
        to_set = Paragraph(plain(say(reader, "tool set to:")), LABEL)
        return [Paragraph(above or " ", LABEL), to_set, space(2), Paragraph(plain(counts), LABEL)]
    return [Paragraph(above or " ", LABEL)]


def _already(one: BlankBox, reader: Reader) -> str:
    if not one.entered:
        return ""
    return say(reader, "in the record: {entry}", entry=bold(one.entered, 60))


def _signing(step: BlankStep, width: float, reader: Reader) -> Table:
    when = say(reader, "date and time")
    asked = [say(reader, "cautions read (initials)")] if step.cautions else []
    asked += [say(reader, "done by (initials)"), when]
    asked += [say(reader, "second person (initials)"), when] if step.second_person else []
    return _table(
        [[label(text) for text in asked]],
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
