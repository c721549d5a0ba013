"""The readings of a certificate by section, each with its limit, instrument and verdict.

What many entries of a step share is stated once: who entered them and when in the step's head, the
source of a limit at the first of its positions, checks answered yes in one sentence.
"""

from collections.abc import Iterator
from itertools import groupby
from typing import Final

from django.utils.translation import gettext_noop
from reportlab.platypus import Flowable, Paragraph, Table

from prep.rules.conformity.judgment import CheckAnswer, SettingAnswer, Verdict
from prep.words import verdicts
from prep.words.reader import Reader, say
from prep.words.unit.limits import basis_text
from reports.certificate.facts import (
    Answer,
    BoxFacts,
    CertificateFacts,
    LimitFacts,
    SectionFacts,
    StepFacts,
)
from reports.certificate.pdf import step_heads
from reports.certificate.pdf.beneath import beneath
from reports.certificate.pdf.drawings import drawings
from reports.certificate.pdf.rows import MOST_IN_CELL, SHARES, Rows, short
from reports.certificate.pdf.wording import decision_text, name_and_moment
from reports.pdf.parts import grid, headed, space
from reports.pdf.typeface import CELL, NOTE, bold, joined, plain, small

CHECKS_IN_ROW: Final = 12
LABELED: Final = gettext_noop("{label}: {text}")


def sheet(facts: CertificateFacts, width: float) -> Iterator[Flowable]:
    """Flowables of each section: its table, and the drawings that explain its readings."""
    yield from headed(say(facts.reader, "Readings and limits"), "readings", 60)
    yield Paragraph(_reading_aid(facts), NOTE)
    for number, section in enumerate(facts.sections, 1):
        yield from headed(section.title, f"section-{number}")
        yield _table(section, width, facts.reader)
        yield from drawings(facts, section, width)
        yield space(1)


def _reading_aid(facts: CertificateFacts) -> str:
    reader = facts.reader
    marks = " ".join(
        say(
            reader,
            LABELED,
            label=f"{verdicts.mark(one)} {bold(verdicts.word(one, reader))}",
            text=plain(verdicts.explanation(one, reader)),
        )
        for one in (*Verdict, CheckAnswer.YES, SettingAnswer.IN_LIMIT)
    )
    return say(
        reader,
        "Times are in the time zone of {yard} ({zone}). A reading stands in the unit of its limit, "
        "then as typed, then in the other system. U is the tool's expanded uncertainty (k = 2). A "
        "guard band narrows the limit by the stated share of U. A tool that clicks measures "
        "nothing: what it was set to is given, and how many fasteners were gone over. The source "
        "of a limit is given with the first reading it applies to. The tools are listed further "
        "on. Marks: {marks}",
        yard=plain(facts.site),
        zone=plain(facts.time_zone),
        marks=marks,
    )


def _table(section: SectionFacts, width: float, reader: Reader) -> Table:
    titles = (
        say(reader, "question"),
        say(reader, "reading"),
        say(reader, "limit and source"),
        say(reader, "tool"),
        say(reader, "verdict"),
    )
    rows = Rows(titles)
    for step in section.steps:
        entered_by = step_heads.entered(step, reader)
        rows.across(Paragraph(step_heads.head(step, entered_by, reader), CELL))
        rows.shade()
        _boxes(rows, step, reader, named_above=len(entered_by) == 1)
    return grid(rows.rows, [width * share for share in SHARES], *rows.style)


def _boxes(rows: Rows, step: StepFacts, reader: Reader, *, named_above: bool) -> None:
    """The boxes of a step in order; `named_above` says that its head names who entered them."""
    above: BoxFacts | None = None
    for is_plain, boxes in groupby(step.boxes, lambda box: named_above and _is_plain_yes(box)):
        if is_plain:
            answered = list(boxes)
            for start in range(0, len(answered), CHECKS_IN_ROW):
                shown = answered[start : start + CHECKS_IN_ROW]
                rows.across(Paragraph(_answered_yes(shown, reader), CELL))
            continue
        for box in boxes:
            _box(rows, box, above, reader, named_above=named_above)
            above = box


def _is_plain_yes(box: BoxFacts) -> bool:
    """Whether a box is a check answered yes, without remarks or earlier entries."""
    answer = box.current
    return (
        answer is not None
        and answer.verdict == CheckAnswer.YES
        and not (answer.remarks or answer.copied or box.earlier or box.concession or box.suspected)
    )


def _answered_yes(boxes: list[BoxFacts], reader: Reader) -> str:
    """Markup of checks answered yes in one sentence, each with its positions."""
    checks = []
    for ask, group in groupby(boxes, lambda box: box.ask):
        places = ", ".join(short(box.position) for box in group if box.position)
        checks.append(short(ask) + (f" ({places})" if places else ""))
    return say(reader, LABELED, label=_verdict(CheckAnswer.YES, reader), text=" · ".join(checks))


def _verdict(verdict: str, reader: Reader) -> str:
    """Markup of a verdict's mark and word."""
    return f"{verdicts.mark(verdict)} {short(verdicts.word(verdict, reader))}"


def _box(
    rows: Rows, box: BoxFacts, above: BoxFacts | None, reader: Reader, *, named_above: bool
) -> None:
    asked = joined(short(box.ask), bold(box.position, MOST_IN_CELL) if box.position else "")
    if box.current:
        cells = (
            asked,
            _value(box.current, reader),
            _held(box.current.limit, reader, shared=_same_source(box, above)),
            _tool(box.current),
            joined(
                _verdict(box.current.verdict, reader),
                "" if named_above else small(short(name_and_moment(box.current.by, reader))),
            ),
        )
        rows.add([Paragraph(cell, CELL) for cell in cells])
    elif box.earlier:
        none = say(reader, "no current entry")
        rows.add([Paragraph(asked, CELL), Paragraph(none, CELL), "", "", ""])
    for remark in beneath(box, above, reader):
        rows.beneath(Paragraph(remark, NOTE))


def _same_source(box: BoxFacts, above: BoxFacts | None) -> bool:
    """Whether the row above already states the source of the limit."""
    if above is None or not (box.current and above.current):
        return False
    limit, limit_above = box.current.limit, above.current.limit
    if limit is None or limit_above is None:
        return False
    return (limit.source, limit.basis) == (limit_above.source, limit_above.basis)


def _value(answer: Answer, reader: Reader) -> str:
    """Markup of a reading: in its limit's unit, as typed, in the other system; or of a setting."""
    if answer.setting:
        return joined(
            bold(answer.setting.stated, MOST_IN_CELL), small(short(answer.setting.beside))
        )
    if not answer.stated:
        choice = answer.value if answer.value != answer.typed else ""
        return joined(bold(answer.typed, MOST_IN_CELL), small(short(choice)))
    same = answer.typed == answer.stated
    typed = "" if same else say(reader, "typed: {text}", text=answer.typed)
    beside = " · ".join(filter(None, (typed, answer.beside)))
    return joined(bold(answer.stated, MOST_IN_CELL), small(short(beside)))


def _held(limit: LimitFacts | None, reader: Reader, *, shared: bool) -> str:
    """Markup of the limit a reading was held against; of its source unless `shared` with above."""
    if limit is None:
        return ""
    detail = ", ".join(filter(None, (limit.beside, decision_text(limit, reader))))
    basis = basis_text(limit.basis, reader)
    source = "" if shared else say(reader, "{basis}: {source}", basis=basis, source=limit.source)
    return joined(short(limit.stated), small(short(detail)), small(short(source)))


def _tool(answer: Answer) -> str:
    if answer.instrument is None:
        return ""
    uncertainty = f"U {answer.uncertainty}" if answer.uncertainty else ""
    return joined(bold(answer.instrument.code, MOST_IN_CELL), small(short(uncertainty)))
