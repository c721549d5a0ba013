"""The readings of a certificate by section, each with its limit, instrument and verdict.

What many entries of a step share is stated once: who entered them and when in the step's head, the
source of a limit at the first of its positions, checks answered yes in one sentence.
"""

from collections.abc import Iterator
from datetime import datetime
from itertools import groupby
from typing import Any, Final

from reportlab.platypus import Flowable, Paragraph, Table

from prep.rules.conformity.judgment import CheckAnswer, Verdict
from prep.words import dates, verdicts
from prep.words.reader import ENGLISH
from reports.certificate.facts import (
    Answer,
    BoxFacts,
    CertificateFacts,
    SectionFacts,
    Signed,
    StepFacts,
)
from reports.certificate.pdf import wording
from reports.certificate.pdf.drawings import drawings
from reports.pdf.parts import FAINT, grid, headed, heads, space
from reports.pdf.typeface import CELL, NOTE, bold, joined, plain, small

# A row and what must stay with it fit on a page, whatever was typed: the record has it all.
MOST_IN_CELL: Final = 200
MOST_IN_HEAD: Final = 800
CHECKS_IN_ROW: Final = 12
CHECKED: Final = frozenset(CheckAnswer)
SHARES: Final = (0.24, 0.18, 0.27, 0.14, 0.17)
TITLES: Final = ("what was asked", "as typed", "limit and its source", "instrument", "verdict")


class Rows:
    """Rows of a section's table, and the style commands of those that differ."""

    def __init__(self) -> None:
        self.rows: list[list[Any]] = [heads(*TITLES)]
        self.style: list[tuple[Any, ...]] = []
        self.joined = False

    def add(self, cells: list[Any]) -> None:
        """Add an ordinary row."""
        self.rows.append(cells)
        self.joined = False

    def across(self, cell: Any, first: int = 0, last: int = -1) -> None:
        """Add a row in which one cell spans the columns from `first` to `last`."""
        place = len(self.rows)
        blank: list[Any] = [""] * len(TITLES)
        blank[first] = cell
        self.rows.append(blank)
        self.style.append(("SPAN", (first, place), (last, place)))
        self.joined = False

    def shade(self) -> None:
        """Shade the row added last, and keep it with the one that follows."""
        place = len(self.rows) - 1
        self.style.append(("BACKGROUND", (0, place), (-1, place), FAINT))
        self.style.append(("NOSPLIT", (0, place), (-1, place + 1)))

    def beneath(self, cell: Any) -> None:
        """Add a row that belongs to the one above: no line between, no break before the first."""
        first = not self.joined
        self.across(cell, first=1)
        place = len(self.rows) - 1
        self.style.append(("LINEBELOW", (0, place - 1), (-1, place - 1), 0.3, "#ffffff"))
        if first:
            self.style.append(("NOSPLIT", (0, place - 1), (-1, place)))
        self.joined = True


def short(text: str) -> str:
    """Text as markup, cut to what a cell of this table holds."""
    return plain(text, MOST_IN_CELL)


def sheet(facts: CertificateFacts, width: float) -> Iterator[Flowable]:
    """Flowables of each section: its table, and the drawings that explain its readings."""
    yield from headed("Readings and limits", "readings", 60)
    yield Paragraph(_reading_aid(facts), NOTE)
    for number, section in enumerate(facts.sections, 1):
        yield from headed(section.title, f"section-{number}")
        yield _table(section, width)
        yield from drawings(facts, section, width)
        yield space(1)


def _reading_aid(facts: CertificateFacts) -> str:
    marks = " ".join(
        f"{verdicts.mark(one)} {bold(verdicts.word(one, ENGLISH))}: "
        f"{plain(verdicts.explanation(one, ENGLISH))}"
        for one in (*Verdict, CheckAnswer.YES)
    )
    return (
        f"Times are those of {plain(facts.site)} ({plain(facts.time_zone)}). U is the expanded "
        "uncertainty of the instrument, k = 2. A guard band narrows the limit by the stated part "
        "of U. A limit’s source is stated at the first reading held against it. The instruments "
        f"are listed further on. Marks: {marks}"
    )


def _table(section: SectionFacts, width: float) -> Table:
    rows = Rows()
    for step in section.steps:
        entered_by = _entered(step)
        rows.across(Paragraph(_step(step, entered_by), CELL))
        rows.shade()
        _boxes(rows, step, named_above=len(entered_by) == 1)
    return grid(rows.rows, [width * share for share in SHARES], *rows.style)


def _entered(step: StepFacts) -> list[tuple[str, datetime, datetime]]:
    """Who made a step's current entries, by person and day, with the first and last moment."""
    given = [box.current.by for box in step.boxes if box.current]
    groups = []
    for who, entries in groupby(given, lambda by: (f"{by.meaning} by {by.name}", by.at.date())):
        moments = [by.at for by in entries]
        groups.append((who[0], min(moments), max(moments)))
    return groups


def _step(step: StepFacts, entered_by: list[tuple[str, datetime, datetime]]) -> str:
    signatures = [_from_to(*entered_by[0])] if len(entered_by) == 1 else []
    signatures += [_who_and_when(one) for one in step.signed]
    past = "; ".join(_who_and_when(one) for one in step.past)
    again = " / ".join(step.reopened)
    open_ = "" if step.signed or step.skipped else f"not done at this release: {step.status}"
    return joined(
        bold(step.title, MOST_IN_CELL),
        small(plain("; ".join(signatures), MOST_IN_HEAD)),
        small(f"not applicable: {plain(step.skipped)}") if step.skipped else "",
        small(open_),
        small(f"opened again: {plain(again, MOST_IN_HEAD)}.") if again else "",
        small(f"Sign-offs before that: {plain(past or 'none', MOST_IN_HEAD)}.") if again else "",
    )


def _from_to(who: str, first: datetime, last: datetime) -> str:
    until = f" to {last:%H:%M}" if f"{last:%H:%M}" != f"{first:%H:%M}" else ""
    return f"{who}, {dates.short_moment(first, ENGLISH)}{until}"


def _who_and_when(one: Signed) -> str:
    return f"{one.meaning} by {one.name}, {dates.short_moment(one.at, ENGLISH)}"


def _boxes(rows: Rows, step: StepFacts, *, named_above: bool) -> None:
    """The boxes of a step in order; `named_above` says that its head names who entered them."""
    above: BoxFacts | None = None
    for is_plain, boxes in groupby(step.boxes, lambda box: named_above and _is_plain_yes(box)):
        if is_plain:
            answered = list(boxes)
            for start in range(0, len(answered), CHECKS_IN_ROW):
                shown = answered[start : start + CHECKS_IN_ROW]
                rows.across(Paragraph(_answered_yes(shown), CELL))
            continue
        for box in boxes:
            _box(rows, box, above, named_above=named_above)
            above = box


def _is_plain_yes(box: BoxFacts) -> bool:
    """Whether a box is a check answered yes, without remarks or earlier entries."""
    answer = box.current
    return (
        answer is not None
        and answer.verdict == CheckAnswer.YES
        and not (answer.remarks or answer.copied or box.earlier or box.concession)
    )


def _answered_yes(boxes: list[BoxFacts]) -> str:
    """Markup of checks answered yes in one sentence, each with its positions."""
    checks = []
    for ask, group in groupby(boxes, lambda box: box.ask):
        places = ", ".join(short(box.position) for box in group if box.position)
        checks.append(short(ask) + (f" ({places})" if places else ""))
    return f"{_verdict(CheckAnswer.YES)}: {' · '.join(checks)}"


def _verdict(verdict: str) -> str:
    """Markup of a verdict's mark and word."""
    return f"{verdicts.mark(verdict)} {short(verdicts.word(verdict, ENGLISH))}"


def _box(rows: Rows, box: BoxFacts, above: BoxFacts | None, *, named_above: bool) -> None:
    asked = joined(short(box.ask), bold(box.position, MOST_IN_CELL) if box.position else "")
    if box.current is None:
        if box.earlier:
            rows.add([Paragraph(asked, CELL), Paragraph("no entry that stands", CELL), "", "", ""])
    else:
        shared = _same_source(box, above)
        cells = (asked, *_answer(box.current, shared=shared, named_above=named_above))
        rows.add([Paragraph(cell, CELL) for cell in cells])
    for remark in _beneath(box, above):
        rows.beneath(Paragraph(remark, NOTE))


def _same_source(box: BoxFacts, above: BoxFacts | None) -> bool:
    """Whether the row above already states the source of the limit."""
    if above is None or not (box.current and above.current):
        return False
    limit, limit_above = box.current.limit, above.current.limit
    if limit is None or limit_above is None:
        return False
    return (limit.source, limit.basis) == (limit_above.source, limit_above.basis)


def _answer(answer: Answer, *, shared: bool, named_above: bool) -> tuple[str, str, str, str]:
    limit, used = answer.limit, answer.instrument
    as_read = " = ".join(filter(None, (wording.understood(answer), wording.canonical_text(answer))))
    typed = joined(
        bold(answer.typed, MOST_IN_CELL), small(short(f"= {as_read}" if as_read else ""))
    )
    held = ""
    if limit:
        detail = ", ".join(filter(None, (limit.beside, wording.decision_text(limit))))
        source = "" if shared else small(short(f"{limit.basis}: {limit.source}"))
        held = joined(short(limit.stated), small(short(detail)), source)
    tool = ""
    if used:
        tool = joined(
            bold(used.code, MOST_IN_CELL), small(short(wording.uncertainty_text(used, answer.unit)))
        )
    by = "" if named_above else small(short(_name_and_moment(answer.by)))
    return typed, held, tool, joined(_verdict(answer.verdict), by)


def _beneath(box: BoxFacts, above: BoxFacts | None) -> Iterator[str]:
    """Markup of the rows under an answer: remarks, the concession, each earlier entry."""
    if box.current:
        yield from (plain(remark) for remark in _remarks(box.current, above))
    if box.concession:
        one = box.concession
        yield (
            f"{bold('△ released by concession')}: {plain(one.reason)} "
            f"({plain(wording.who_and_when(one.granted))})"
        )
    # An entry says why it replaced the one before it; re-opening a step needs no entry.
    later = [answer.reason for answer in (box.current, *box.earlier) if answer]
    reasons = later if box.current else ["", *later]
    for earlier, why in zip(box.earlier, reasons, strict=False):
        yield _earlier(earlier, why)


def _remarks(answer: Answer, above: BoxFacts | None) -> list[str]:
    remarks = [f"“{remark}”" if answer.verdict in CHECKED else remark for remark in answer.remarks]
    title = _limit_rule(answer)
    if title and not (above and above.current and _limit_rule(above.current) == title):
        remarks.append(f"limit worked out: {title}")
    if answer.copied:
        written, copied = answer.by, answer.copied
        remarks.append(
            f"copied from paper: written by {_name_and_moment(written)}, "
            f"copied by {_name_and_moment(copied)}"
        )
    return remarks


def _limit_rule(answer: Answer) -> str:
    """Title of the rule a limit was computed by."""
    return answer.limit.computed.title if answer.limit and answer.limit.computed else ""


def _earlier(answer: Answer, why: str) -> str:
    """Markup of an entry that no longer stands: struck through, who made it, why it went."""
    used = f", with {short(answer.instrument.code)}" if answer.instrument else ""
    limit = f" (limit {short(answer.limit.stated)})" if answer.limit else ""
    return (
        f"earlier: <strike>{short(answer.typed)}</strike>{used}, "
        f"{_verdict(answer.verdict)}{limit}, {short(answer.by.name)}, "
        f"{dates.short_moment(answer.by.at, ENGLISH)}; replaced because: "
        f"{short(why) if why else 'the step was opened again'}"
    )


def _name_and_moment(signed: Signed) -> str:
    return f"{signed.name}, {dates.short_moment(signed.at, ENGLISH)}"
