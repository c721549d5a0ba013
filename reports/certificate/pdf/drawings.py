"""Drawings that explain readings: geometry to scale, and guarded readings among their limits."""

from collections.abc import Iterator
from fractions import Fraction
from typing import Final

from reportlab.platypus import Flowable, Paragraph, Table, TableStyle

from prep.rules.conformity.judgment import AtLimits, DecisionRule, Interval, Verdict, judge
from prep.rules.drawings.guard_band import reading_drawing
from prep.rules.drawings.shapes import Drawing
from prep.rules.quantities.quantity import UNITS, Measured
from prep.words.rules.drawings import DrawingWords
from reports.certificate.facts import Answer, BoxFacts, CertificateFacts, SectionFacts
from reports.pdf.parts import PADDING, space
from reports.pdf.picture import Picture
from reports.pdf.typeface import NOTE, plain

ACROSS: Final = 2
DOUBTFUL: Final = (Verdict.CONFORMING_GUARD, Verdict.NONCONFORMING_GUARD)
CLOSE: Final = 0.999  # a reading that conforms more surely than this needs no picture


def drawings(facts: CertificateFacts, section: SectionFacts, width: float) -> Iterator[Flowable]:
    """Table of a section's drawings, two in a row: its geometry, then guarded readings."""
    codes = {step.step for step in section.steps}
    words = DrawingWords(facts.reader)
    shown = [(one.caption, one.drawing) for one in facts.explained if one.step in codes]
    cells = [
        [Picture(drawing, width / ACROSS - 8), Paragraph(plain(caption), NOTE)]
        for caption, drawing in (*shown, *_guarded(section, words))
    ]
    if not cells:
        return
    cells += [[] for _ in range(-len(cells) % ACROSS)]
    rows = [cells[place : place + ACROSS] for place in range(0, len(cells), ACROSS)]
    table = Table(rows, [width / ACROSS] * ACROSS)
    table.setStyle(TableStyle([*PADDING, ("BOTTOMPADDING", (0, 0), (-1, -1), 6)]))
    yield space(1.5)
    yield table


def _guarded(section: SectionFacts, words: DrawingWords) -> Iterator[tuple[str, Drawing]]:
    """Drawings of each question's guarded reading least sure to conform, and of each in doubt."""
    for step in section.steps:
        questions: dict[str, list[BoxFacts]] = {}
        for box in step.boxes:
            if box.current and box.current.instrument and _is_guarded(box.current):
                questions.setdefault(box.ask, []).append(box)
        for ask, boxes in questions.items():
            least = min(boxes, key=_probability)
            for box in boxes:
                assert box.current is not None
                if box.current.verdict in DOUBTFUL or (box is least and _probability(box) < CLOSE):
                    drawing = _reading_drawing(box.current, words)
                    if drawing:
                        yield ", ".join(filter(None, (step.title, ask, box.position))), drawing


def _is_guarded(answer: Answer) -> bool:
    return answer.limit is not None and answer.limit.decision == "guarded"


def _probability(box: BoxFacts) -> float:
    return float(box.current.probability or 1) if box.current else 1.0


def _reading_drawing(answer: Answer, words: DrawingWords) -> Drawing | None:
    """A reading among its limits in the unit typed; None where it would be judged otherwise today.

    The verdict of the record stands; a picture that contradicts it would only confuse.
    """
    limit, used = answer.limit, answer.instrument
    if limit is None or not answer.canonical or not (limit.low or limit.high):
        return None
    reading = Measured(Fraction(answer.canonical), UNITS[answer.unit])
    interval = Interval(_fraction(limit.low), _fraction(limit.high))
    uncertainty, low, high = (
        _fraction(text) or Fraction(0)
        for text in (
            (used.uncertainty, used.uncertainty_low, used.uncertainty_high)
            if used
            else ("", "", "")
        )
    )
    rule = DecisionRule("guarded", Fraction(limit.guard)) if limit.guard else DecisionRule("simple")
    judgment = judge(reading.value, interval, rule, uncertainty, AtLimits(low, high))
    if judgment.verdict.value != answer.verdict:
        return None
    return reading_drawing(reading, judgment, uncertainty, UNITS[answer.typed_unit], words)


def _fraction(number: str) -> Fraction | None:
    return Fraction(number) if number else None
