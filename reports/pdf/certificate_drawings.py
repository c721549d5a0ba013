"""Drawings that explain readings: geometry to scale, and guarded readings among their limits."""

from collections.abc import Iterator
from fractions import Fraction
from typing import Final

from reportlab.platypus import Flowable, Paragraph, Table, TableStyle

from prep.rules.conformity import DecisionRule, Interval, Judgement, judge
from prep.rules.drawing import Drawing
from prep.rules.drawing_guard_band import guard_band_drawing
from prep.rules.quantity import UNITS, Unit
from reports.facts import Answer, BoxFacts, CertificateFacts, SectionFacts
from reports.pdf.parts import PADDING, space
from reports.pdf.picture import Picture
from reports.pdf.typeface import NOTE, plain

ACROSS: Final = 2
DOUBTFUL: Final = ("conforming inside the guard band", "nonconforming inside the guard band")
CLOSE: Final = 0.999  # a reading that conforms more surely than this needs no picture


def drawings(facts: CertificateFacts, section: SectionFacts, width: float) -> Iterator[Flowable]:
    """What a picture explains of a section, two in a row: its geometry, then guarded readings."""
    codes = {step.step for step in section.steps}
    shown = [(one.caption, one.drawing) for one in facts.explained if one.step in codes]
    cells = [
        [Picture(drawing, width / ACROSS - 8), Paragraph(plain(caption), NOTE)]
        for caption, drawing in (*shown, *_guarded(section))
    ]
    if not cells:
        return
    cells += [[] for _ in range(-len(cells) % ACROSS)]
    rows = [cells[place : place + ACROSS] for place in range(0, len(cells), ACROSS)]
    table = Table(rows, [width / ACROSS] * ACROSS)
    table.setStyle(TableStyle([*PADDING, ("BOTTOMPADDING", (0, 0), (-1, -1), 6)]))
    yield space(1.5)
    yield table


def _guarded(section: SectionFacts) -> Iterator[tuple[str, Drawing]]:
    """Of each question the guarded reading least sure to conform, and every one in doubt."""
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
                    drawing = reading_drawing(box.current)
                    if drawing:
                        yield ", ".join(filter(None, (step.title, ask, box.position))), drawing


def _is_guarded(answer: Answer) -> bool:
    return answer.limit is not None and answer.limit.decision == "guarded"


def _probability(box: BoxFacts) -> float:
    return float(box.current.probability or 1) if box.current else 1.0


def reading_drawing(answer: Answer) -> Drawing | None:
    """A reading among its limits in the unit typed; None where it would be judged otherwise today.

    The verdict of the record stands; a picture that contradicts it would only confuse.
    """
    limit, used = answer.limit, answer.instrument
    if limit is None or not answer.canonical or not (limit.low or limit.high):
        return None
    factor, unit = _as_typed(answer)
    value, interval = Fraction(answer.canonical) * factor, _interval(limit.low, limit.high, factor)
    uncertainty = Fraction(used.uncertainty or 0) * factor if used else Fraction(0)
    rule = DecisionRule("guarded", Fraction(limit.guard)) if limit.guard else DecisionRule("simple")
    judgement: Judgement = judge(value, interval, rule, uncertainty)
    if judgement.verdict.value != answer.verdict:
        return None
    return guard_band_drawing(value, interval, judgement, uncertainty, unit)


def _as_typed(answer: Answer) -> tuple[Fraction, str]:
    """What turns canonical numbers into the unit typed; temperatures stay, for their zero moves."""
    typed, kept = _unit(answer.typed_unit), _unit(answer.unit)
    if typed is None or kept is None or typed.offset or kept.offset:
        return Fraction(1), answer.unit
    return kept.factor / typed.factor, typed.symbol


def _unit(symbol: str) -> Unit | None:
    return UNITS.get(symbol)


def _interval(low: str, high: str, factor: Fraction) -> Interval:
    return Interval(
        Fraction(low) * factor if low else None, Fraction(high) * factor if high else None
    )
