"""Summary of a preparation on the first page: sentences, figures, sections, what to look at."""

from collections.abc import Iterator, Sequence
from typing import Final

from reportlab.platypus import Flowable, Paragraph, Table, TableStyle

from prep.record.unit.sheet import Status
from prep.rules.conformity.judgment import CheckAnswer, SettingAnswer, Verdict
from prep.words.reader import Reader, say, say_count
from reports.certificate.facts import Answer, CertificateFacts, SectionFacts, StepFacts
from reports.pdf.parts import PADDING, grid, heads
from reports.pdf.typeface import CELL, CENTERED, FIGURE, bold, plain

# Checks, and fasteners gone over with a tool that clicks.
CHECKED: Final = frozenset({*CheckAnswer, *SettingAnswer})
MOST_LISTED: Final = 3


def statement(facts: CertificateFacts) -> str:
    """Summary of the preparation in plain sentences, as markup."""
    return " ".join(
        [
            _procedure(facts),
            *_steps(facts.steps, facts.reader),
            _checked_against_limits(facts),
            *_not_measured(facts),
        ]
    )


def _procedure(facts: CertificateFacts) -> str:
    return say(
        facts.reader,
        "This machine was prepared by the procedure {title} ({procedure}, revision {revision}), "
        "which follows: {manual}.",
        title=bold(facts.sheet.title),
        procedure=plain(facts.sheet.procedure),
        revision=facts.sheet.revision,
        manual=plain(facts.sheet.manual),
    )


def _steps(steps: Sequence[StepFacts], reader: Reader) -> Iterator[str]:
    """Sentences on how many of the steps that apply were done, marked not applicable, left open."""
    done = sum(step.status == Status.DONE for step in steps)
    skipped = sum(bool(step.skipped) for step in steps)
    waiting = len(steps) - done - skipped
    yield say_count(
        reader,
        "{count} of {total} steps that apply was completed and signed.",
        "{count} of {total} steps that apply were completed and signed.",
        done,
        total=len(steps),
    )
    if skipped:
        yield say_count(
            reader,
            "{count} step was marked not applicable, with a reason.",
            "{count} steps were marked not applicable, each with a reason.",
            skipped,
        )
    if waiting:
        yield say_count(
            reader,
            "{count} step is open until the buyer's tractor is known.",
            "{count} steps are open until the buyer's tractor is known.",
            waiting,
        )


def _checked_against_limits(facts: CertificateFacts) -> str:
    """How many of the readings a limit was applied to."""
    readings = [one for one in _answers(facts.steps) if _is_reading(one)]
    judged = sum(one.verdict != Verdict.NO_LIMIT for one in readings)
    return say_count(
        facts.reader,
        "{count} of {total} readings was checked against a limit, shown beside it.",
        "{count} of {total} readings were checked against a limit, shown beside each.",
        judged,
        total=len(readings),
    )


def _not_measured(facts: CertificateFacts) -> Iterator[str]:
    """A sentence on the boxes that were left unmeasured."""
    omitted = sum(one.verdict == Verdict.NOT_MEASURED for one in _answers(facts.steps))
    if omitted:
        yield say_count(
            facts.reader,
            "{count} reading was not measured, with a reason.",
            "{count} readings were not measured, each with a reason.",
            omitted,
        )


def _is_reading(answer: Answer) -> bool:
    return answer.verdict != Verdict.NOT_MEASURED and answer.verdict not in CHECKED


def _answers(steps: Sequence[StepFacts]) -> list[Answer]:
    return [box.current for step in steps for box in step.boxes if box.current]


def figures(facts: CertificateFacts) -> list[tuple[int, str]]:
    """Figures of the first page, each with its caption."""
    reader = facts.reader
    answers = _answers(facts.steps)
    checks = sum(answer.verdict in CHECKED for answer in answers)
    return [
        (sum(map(_is_reading, answers)), say(reader, "readings")),
        (checks, say(reader, "checks")),
        (len(facts.concessions), say(reader, "accepted by concession")),
        (sum(len(box.earlier) for box in facts.boxes), say(reader, "entries replaced")),
        (sum(bool(step.skipped) for step in facts.steps), say(reader, "steps not applicable")),
        (
            sum(not shortage.arrived for shortage in facts.shortages),
            say(reader, "parts still missing"),
        ),
    ]


def figures_table(facts: CertificateFacts, width: float) -> Table:
    """Table of the figures."""
    shown = figures(facts)
    numbers = [Paragraph(str(number), FIGURE) for number, _ in shown]
    captions = [Paragraph(caption, CENTERED) for _, caption in shown]
    table = Table([numbers, captions], [width / len(shown)] * len(shown))
    lines = [
        ("BOX", (0, 0), (-1, -1), 0.8, "#000000"),
        ("LINEAFTER", (0, 0), (-2, -1), 0.3, "#9a9a9a"),
    ]
    table.setStyle(TableStyle([*PADDING, *lines, ("BOTTOMPADDING", (0, 1), (-1, -1), 5)]))
    return table


def sections_table(facts: CertificateFacts, width: float) -> Table:
    """Table of the sections, with how much each holds and how it came out."""
    reader = facts.reader
    titles = (
        say(reader, "work done"),
        say(reader, "steps"),
        say(reader, "readings"),
        say(reader, "checks"),
        say(reader, "result"),
    )
    rows = [heads(*titles), *(_section(section, reader) for section in facts.sections)]
    return grid(rows, [width * share for share in (0.4, 0.09, 0.11, 0.14, 0.26)])


def _section(section: SectionFacts, reader: Reader) -> list[Paragraph]:
    answers = _answers(section.steps)
    checks = sum(answer.verdict in CHECKED for answer in answers)
    cells = (
        plain(section.title),
        str(len(section.steps)),
        str(sum(map(_is_reading, answers))),
        str(checks),
        _result(section, reader),
    )
    return [Paragraph(cell, CELL) for cell in cells]


def _result(section: SectionFacts, reader: Reader) -> str:
    conceded = sum(box.concession is not None for step in section.steps for box in step.boxes)
    waiting = sum(step.status != Status.DONE and not step.skipped for step in section.steps)
    if waiting:
        return say_count(reader, "○ {count} step open", "○ {count} steps open", waiting)
    if conceded:
        return say_count(reader, "△ {count} concession", "△ {count} concessions", conceded)
    return say(reader, "✓ all in order")


def first_look(facts: CertificateFacts) -> Iterator[Flowable]:
    """Lines on concessions and missing parts, of which a buyer should know first."""
    reader = facts.reader
    lines = [*_conceded(facts, reader), *_missing(facts, reader)]
    none = say(reader, "✓ No part is missing, and nothing was accepted out of limit.")
    for line in lines or [none]:
        yield Paragraph(line, CELL)


def _conceded(facts: CertificateFacts, reader: Reader) -> Iterator[str]:
    for one in facts.concessions[:MOST_LISTED]:
        yield say(
            reader,
            "△ Accepted out-of-limit (concession) by {name}: {finding} Reason: {reason}",
            name=bold(one.granted.name),
            finding=plain(one.text, 160),
            reason=plain(one.reason, 160),
        )
    more = len(facts.concessions) - MOST_LISTED
    if more > 0:
        yield say_count(
            reader,
            "△ And {count} more concession, listed on the following pages.",
            "△ And {count} more concessions, listed on the following pages.",
            more,
        )


def _missing(facts: CertificateFacts, reader: Reader) -> list[str]:
    missing = [one for one in facts.shortages if not one.arrived]
    return [
        say(reader, "○ Still missing: {count} × {part}", count=one.count, part=plain(one.part, 120))
        for one in missing[:MOST_LISTED]
    ]
