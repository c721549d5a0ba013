"""The readings of a certificate by section, each with its limit, instrument and verdict."""

from collections.abc import Iterator
from typing import Any, Final

from reportlab.platypus import Flowable, Paragraph, Table

from reports.facts import Answer, BoxFacts, CertificateFacts, SectionFacts, StepFacts
from reports.pdf import words
from reports.pdf.certificate_drawings import drawings
from reports.pdf.parts import FAINT, Heading, grid, heads, space
from reports.pdf.typeface import CELL, NOTE, bold, joined, plain, small

SHARES: Final = (0.27, 0.19, 0.23, 0.13, 0.18)
TITLES: Final = ("what was asked", "as typed", "limit and its source", "instrument", "verdict")


class Rows:
    """Rows of a section's table as they are made, with the style of the odd ones."""

    def __init__(self) -> None:
        self.rows: list[list[Any]] = [heads(*TITLES)]
        self.style: list[tuple[Any, ...]] = []

    def add(self, cells: list[Any]) -> None:
        """An ordinary row."""
        self.rows.append(cells)

    def across(self, cell: Any, first: int = 0, last: int = -1) -> None:
        """A row in which one cell spans the columns from `first` to `last`."""
        place = len(self.rows)
        blank: list[Any] = [""] * len(TITLES)
        blank[first] = cell
        self.rows.append(blank)
        self.style.append(("SPAN", (first, place), (last, place)))

    def shade(self) -> None:
        """Shade the row added last, and keep it with the one that follows."""
        place = len(self.rows) - 1
        self.style.append(("BACKGROUND", (0, place), (-1, place), FAINT))
        self.style.append(("NOSPLIT", (0, place), (-1, place + 1)))

    def join_above(self) -> None:
        """No line between the row added last and the one above it, and no page break."""
        place = len(self.rows) - 1
        self.style.append(("LINEBELOW", (0, place - 1), (-1, place - 1), 0.3, "#ffffff"))
        self.style.append(("NOSPLIT", (0, place - 1), (-1, place)))


def sheet(facts: CertificateFacts, width: float) -> Iterator[Flowable]:
    """Every section with its table and the drawings that explain its readings."""
    yield Heading("What was read, and what it was held against", "readings")
    yield Paragraph(_reading_aid(facts), NOTE)
    for number, section in enumerate(facts.sections, 1):
        yield Heading(section.title, f"section-{number}")
        yield _table(section, width)
        yield from drawings(section, width)
        yield space(1)


def _reading_aid(facts: CertificateFacts) -> str:
    marks = "; ".join(f"{words.mark(v)} {bold(v)}: {text}" for v, text in words.LEGEND)
    return (
        f"Times are those of {plain(facts.site)} ({plain(facts.time_zone)}). U is the expanded "
        "uncertainty of the instrument, k = 2. A guard band narrows the limit by the stated part "
        f"of U. Marks: {marks}."
    )


def _table(section: SectionFacts, width: float) -> Table:
    rows = Rows()
    for step in section.steps:
        rows.across(Paragraph(_step(step), CELL))
        rows.shade()
        for box in step.boxes:
            _box(rows, box)
    return grid(rows.rows, [width * share for share in SHARES], *rows.style)


def _step(step: StepFacts) -> str:
    signed = "; ".join(plain(words.who_and_when(one)) for one in step.signed)
    past = "; ".join(plain(words.who_and_when(one)) for one in step.past)
    again = " / ".join(plain(reason) for reason in step.reopened)
    return joined(
        bold(step.title),
        small(signed),
        small(f"not applicable: {plain(step.skipped)}") if step.skipped else "",
        small(f"not done at this release: {step.status}") if not (signed or step.skipped) else "",
        small(f"opened again: {again}. Sign-offs before that: {past or 'none'}.") if again else "",
    )


def _box(rows: Rows, box: BoxFacts) -> None:
    asked = joined(plain(box.ask), bold(box.position) if box.position else "")
    if box.current is None:
        if box.earlier:
            rows.add([Paragraph(asked, CELL), Paragraph("no entry that stands", CELL), "", "", ""])
    else:
        rows.add([Paragraph(cell, CELL) for cell in (asked, *_answer(box.current))])
    for remark in _beneath(box):
        rows.across(Paragraph(remark, NOTE), first=1)
        rows.join_above()


def _answer(answer: Answer) -> tuple[str, str, str, str]:
    limit, used = answer.limit, answer.instrument
    as_read = " = ".join(filter(None, (words.understood(answer), words.canonical_text(answer))))
    typed = joined(bold(answer.typed), small(plain(f"= {as_read}" if as_read else "")))
    held = ""
    if limit:
        held = joined(
            plain(limit.stated),
            small(plain(words.limit_range(limit))),
            small(plain(words.decision_text(limit))),
            small(plain(f"{limit.basis}: {limit.source}", 200)),
        )
    tool = ""
    if used:
        tool = joined(
            bold(used.code), *(small(plain(t)) for t in words.instrument_text(used, answer.unit))
        )
    by = small(plain(f"{answer.by.name}, {words.short_moment(answer.by.at)}"))
    return typed, held, tool, joined(f"{words.mark(answer.verdict)} {plain(answer.verdict)}", by)


def _beneath(box: BoxFacts) -> Iterator[str]:
    """Remarks, the concession and every earlier entry, under the answer that stands."""
    if box.current:
        yield from (plain(remark) for remark in _remarks(box.current))
    if box.concession:
        one = box.concession
        yield (
            f"{bold('△ released by concession')}: {plain(one.reason)} "
            f"({plain(words.who_and_when(one.granted))})"
        )
    # An entry says why it replaced the one before it; re-opening a step needs no entry.
    later = [answer.reason for answer in (box.current, *box.earlier) if answer]
    reasons = later if box.current else ["", *later]
    for earlier, why in zip(box.earlier, reasons, strict=False):
        yield _earlier(earlier, why)


def _remarks(answer: Answer) -> list[str]:
    remarks = [
        f"“{remark}”" if answer.verdict.startswith("answered") else remark
        for remark in answer.remarks
    ]
    computed = answer.limit.computed if answer.limit else {}
    if computed.get("title"):
        remarks.append(
            f"limit worked out: {computed['title']} {computed.get('formula', '')} "
            f"→ {computed.get('result', '')}"
        )
    if answer.copied_from_paper:
        remarks.append(f"copied from paper by {answer.by.name}")
    return remarks


def _earlier(answer: Answer, why: str) -> str:
    """An entry that no longer stands, struck through, with who made it and why it went."""
    used = f", with {plain(answer.instrument.code)}" if answer.instrument else ""
    limit = f" (limit {plain(answer.limit.stated)})" if answer.limit else ""
    return (
        f"earlier: <strike>{plain(answer.typed)}</strike>{used}, {words.mark(answer.verdict)} "
        f"{plain(answer.verdict)}{limit}, {plain(answer.by.name)}, "
        f"{words.short_moment(answer.by.at)}; replaced because: "
        f"{plain(why) if why else 'the step was opened again'}"
    )
