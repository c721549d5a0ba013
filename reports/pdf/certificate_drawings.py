"""Drawings that explain readings: a guarded one among its limits, nearest to a limit first."""

from collections.abc import Iterator
from fractions import Fraction
from typing import Final

from reportlab.platypus import Flowable, Paragraph, Table, TableStyle

from prep.rules.conformity import DecisionRule, Interval, Judgement, judge
from prep.rules.drawing import Drawing
from prep.rules.drawing_guard_band import guard_band_drawing
from reports.facts import Answer, BoxFacts, SectionFacts
from reports.pdf.parts import PADDING, space
from reports.pdf.picture import Picture
from reports.pdf.typeface import NOTE, plain

ACROSS: Final = 2
DOUBTFUL: Final = ("conforming inside the guard band", "nonconforming inside the guard band")


def drawings(section: SectionFacts, width: float) -> Iterator[Flowable]:
    """The guarded readings of a section that a picture explains, two in a row.

    Of each question the reading least sure to conform, and every one in doubt.
    """
    cells = [
        [Picture(drawing, width / ACROSS - 8), Paragraph(plain(caption), NOTE)]
        for caption, drawing in _chosen(section)
    ]
    if not cells:
        return
    cells += [[] for _ in range(-len(cells) % ACROSS)]
    rows = [cells[place : place + ACROSS] for place in range(0, len(cells), ACROSS)]
    table = Table(rows, [width / ACROSS] * ACROSS)
    table.setStyle(TableStyle(list(PADDING)))
    yield space(1.5)
    yield table


def _chosen(section: SectionFacts) -> Iterator[tuple[str, Drawing]]:
    for step in section.steps:
        questions: dict[str, list[BoxFacts]] = {}
        for box in step.boxes:
            if box.current and box.current.instrument and _is_guarded(box.current):
                questions.setdefault(box.ask, []).append(box)
        for ask, boxes in questions.items():
            least = min(boxes, key=_probability)
            for box in boxes:
                assert box.current is not None
                if box is least or box.current.verdict in DOUBTFUL:
                    drawing = reading_drawing(box.current)
                    if drawing:
                        yield ", ".join(filter(None, (step.title, ask, box.position))), drawing


def _is_guarded(answer: Answer) -> bool:
    return answer.limit is not None and answer.limit.decision == "guarded"


def _probability(box: BoxFacts) -> float:
    return float(box.current.probability or 1) if box.current else 1.0


def reading_drawing(answer: Answer) -> Drawing | None:
    """A reading among its limits; None where the rules would judge it otherwise today.

    The verdict of the record stands; a picture that contradicts it would only confuse.
    """
    limit, used = answer.limit, answer.instrument
    if limit is None or not answer.canonical or not (limit.low or limit.high):
        return None
    value, interval = Fraction(answer.canonical), _interval(limit.low, limit.high)
    uncertainty = Fraction(used.uncertainty or 0) if used else Fraction(0)
    rule = DecisionRule("guarded", Fraction(limit.guard)) if limit.guard else DecisionRule("simple")
    judgement: Judgement = judge(value, interval, rule, uncertainty)
    if judgement.verdict.value != answer.verdict:
        return None
    return guard_band_drawing(value, interval, judgement, uncertainty, answer.unit)


def _interval(low: str, high: str) -> Interval:
    return Interval(Fraction(low) if low else None, Fraction(high) if high else None)
