"""The first page of a certificate: which machine, ready for whom, by whom, and what to look at."""

from collections.abc import Iterator
from typing import Final

from reportlab.lib.units import mm
from reportlab.platypus import Flowable, Paragraph, Table, TableStyle

from prep.rules.conformity.judgment import CheckAnswer, Verdict
from prep.words import dates
from prep.words.reader import ENGLISH
from reports.certificate.facts import CertificateFacts, Replaced, SectionFacts
from reports.pdf.parts import PADDING, PALE, box, grid, heads, label, space, together
from reports.pdf.qr import QrCode
from reports.pdf.typeface import (
    CELL,
    CENTERED,
    FIGURE,
    LARGE,
    NOTE,
    RIGHT,
    TEXT,
    TITLE,
    bold,
    fitted,
    plain,
)

QR_SIDE: Final = 36 * mm
DEFERENCE: Final = (
    "The maker's manual for this serial number comes first, and so do local codes and trained or "
    "licensed practice. This certificate says what was done and read on the days stated. It does "
    "not replace the manual, and it does not widen any limit in it. Read the manual, and look the "
    "machine over, before its first use and before every season."
)
NOT_MEASURED: Final = frozenset(CheckAnswer)
UNJUDGED: Final = frozenset({Verdict.NO_LIMIT, Verdict.NOT_MEASURED})


def front(facts: CertificateFacts, width: float) -> Iterator[Flowable]:
    """Flowables of the first page."""
    yield _letterhead(facts, width)
    yield space(2)
    if facts.replaces:
        yield replacement(facts.replaces, width)
        yield space(2)
    yield _machine(facts, width)
    yield space(3)
    yield _for_and_by(facts, width)
    yield space(3)
    yield Paragraph(statement(facts), TEXT)
    yield space(2.5)
    yield _figures(facts, width)
    yield space(3)
    yield _sections(facts, width)
    yield space(2.5)
    yield from _first_look(facts)
    yield space(2.5)
    yield together(
        box([Paragraph(bold("Read this first"), CELL), Paragraph(DEFERENCE, CELL)], width)
    )


def _letterhead(facts: CertificateFacts, width: float) -> Table:
    left = [Paragraph("Delivery certificate", TITLE), Paragraph(_issuer(facts), CELL)]
    right = [
        Paragraph("certificate number", RIGHT),
        Paragraph(bold(facts.number), RIGHT.clone("number", fontSize=13, leading=16)),
    ]
    table = Table([[left, right]], [width * 0.62, width * 0.38])
    rule = ("LINEBELOW", (0, 0), (-1, -1), 1.6, "#000000")
    sides = [("LEFTPADDING", (0, 0), (0, 0), 0), ("RIGHTPADDING", (-1, 0), (-1, 0), 0)]
    table.setStyle(TableStyle([*PADDING, rule, *sides, ("BOTTOMPADDING", (0, 0), (-1, -1), 5)]))
    return table


def replacement(former: Replaced, width: float) -> Table:
    """Box that names the replaced certificate and the reason, to be read before all else."""
    why = former.why.rstrip(" .")
    went = f"no longer stands because: {bold(why, 200)}" if why else "this release follows"
    return box(
        [
            Paragraph(f"This certificate replaces {bold(former.number)}", LARGE),
            Paragraph(
                f"Do not rely on {bold(former.number)} any more. It was for the release of "
                f"{plain(dates.moment(former.released.at, ENGLISH))}, "
                f"by {plain(former.released.name)}, "
                f"which {went}.",
                CELL,
            ),
        ],
        width,
        ("BACKGROUND", (0, 0), (-1, -1), PALE),
    )


def _issuer(facts: CertificateFacts) -> str:
    return f"{bold(facts.dealer)} · {plain(facts.site)}"


def _machine(facts: CertificateFacts, width: float) -> Table:
    room = width - QR_SIDE - 4 * mm
    unit = facts.unit
    left: list[Flowable] = [
        label("machine"),
        fitted(f"{unit.maker} {unit.model}".strip(), room, 17, 10),
        label(f"model {unit.model_code}{_options(unit.options)}"),
        space(2.5),
        label("serial number, as on the plate"),
        fitted(unit.serial, room, 34, 11),
    ]
    right = [
        QrCode(facts.address, QR_SIDE),
        Paragraph("Check this certificate at", CENTERED),
        Paragraph(_broken(facts.address), CENTERED.clone("address", fontSize=6.4, leading=7.6)),
    ]
    table = Table([[left, right]], [room + 4 * mm, QR_SIDE])
    flush = [(f"{side}PADDING", (0, 0), (-1, -1), 0) for side in ("LEFT", "RIGHT", "TOP", "BOTTOM")]
    table.setStyle(TableStyle([*PADDING, *flush, ("VALIGN", (0, 0), (0, 0), "MIDDLE")]))
    return table


def _broken(address: str) -> str:
    """An address broken before the number, so that the number is read in one piece."""
    start, slash, number = address.rpartition("/")
    return f"{plain(start + slash)}<br/>{plain(number)}"


def _options(options: tuple[str, ...]) -> str:
    return f", with {', '.join(options)}" if options else ""


def _for_and_by(facts: CertificateFacts, width: float) -> Table:
    unit, released = facts.unit, facts.released
    if unit.ready_for == "buyer":
        ready = [
            fitted(unit.buyer, width / 2 - 14, 15, 9),
            Paragraph(f"and for this buyer's tractor: {bold(unit.tractor, 160)}", CELL),
        ]
    else:
        ready = [
            Paragraph("stock", LARGE),
            Paragraph("Not matched to a tractor yet: that follows when a buyer is known.", CELL),
        ]
    left = [label("ready for"), *ready]
    right = [
        label("released by"),
        fitted(released.name, width / 2 - 14, 15, 9),
        Paragraph(bold(dates.moment(released.at, ENGLISH)), CELL),
        Paragraph(
            "who signed, with a personal code, that this machine may be delivered: "
            f"meaning of the signature “{plain(released.meaning)}”.",
            NOTE,
        ),
    ]
    table = Table([[left, right]], [width / 2, width / 2])
    frame = [("BOX", (0, 0), (0, 0), 0.8, "#000000"), ("BOX", (1, 0), (1, 0), 0.8, "#000000")]
    wide = [("LEFTPADDING", (0, 0), (-1, -1), 6), ("BOTTOMPADDING", (0, 0), (-1, -1), 6)]
    table.setStyle(TableStyle([*PADDING, *frame, *wide]))
    return table


def statement(facts: CertificateFacts) -> str:
    """Summary of the preparation in plain sentences, as markup."""
    sheet, steps = facts.sheet, facts.steps
    done = sum(step.status == "done" for step in steps)
    skipped = sum(bool(step.skipped) for step in steps)
    waiting = len(steps) - done - skipped
    sentences = [
        f"This machine was prepared step by step by procedure {bold(sheet.procedure)}, revision "
        f"{sheet.revision} ({plain(sheet.title)}), which follows: {plain(sheet.manual)}.",
        f"{dates.count(done, 'step').capitalize()} of {len(steps)} that apply "
        f"{'was' if done == 1 else 'were'} worked and signed"
        + (f", {skipped} marked not applicable with a reason" if skipped else "")
        + (f", {waiting} left for when the tractor is known" if waiting else "")
        + ".",
        _held_against_limits(facts),
    ]
    return " ".join(sentences)


def _held_against_limits(facts: CertificateFacts) -> str:
    """How many of the readings a limit was applied to."""
    readings = [
        box.current
        for box in facts.boxes
        if box.current and box.current.verdict not in NOT_MEASURED
    ]
    judged = sum(one.verdict not in UNJUDGED for one in readings)
    return (
        f"{dates.count(judged, 'reading').capitalize()} of {len(readings)} "
        f"{'was' if judged == 1 else 'were'} held against a limit, shown beside the reading."
    )


def figures(facts: CertificateFacts) -> list[tuple[int, str]]:
    """Figures of the first page, each with its caption."""
    answers = [box.current for box in facts.boxes if box.current]
    checks = sum(answer.verdict in NOT_MEASURED for answer in answers)
    return [
        (len(answers) - checks, "readings"),
        (checks, "checks answered"),
        (len(facts.concessions), "released by concession"),
        (sum(len(box.earlier) for box in facts.boxes), "earlier entries replaced"),
        (sum(bool(step.skipped) for step in facts.steps), "steps not applicable"),
        (sum(not shortage.arrived for shortage in facts.shortages), "parts still missing"),
    ]


def _figures(facts: CertificateFacts, width: float) -> Table:
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


def _sections(facts: CertificateFacts, width: float) -> Table:
    rows = [heads("what was done", "steps", "readings", "checks", "result")]
    for section in facts.sections:
        answers = [box.current for step in section.steps for box in step.boxes if box.current]
        checks = sum(answer.verdict in NOT_MEASURED for answer in answers)
        rows.append(
            [
                Paragraph(plain(section.title), CELL),
                Paragraph(str(len(section.steps)), CELL),
                Paragraph(str(len(answers) - checks), CELL),
                Paragraph(str(checks), CELL),
                Paragraph(_result(section), CELL),
            ]
        )
    return grid(rows, [width * share for share in (0.42, 0.09, 0.11, 0.1, 0.28)])


def _result(section: SectionFacts) -> str:
    conceded = sum(box.concession is not None for step in section.steps for box in step.boxes)
    waiting = sum(step.status != "done" and not step.skipped for step in section.steps)
    if waiting:
        return f"○ {dates.count(waiting, 'step')} left"
    return f"△ {dates.count(conceded, 'concession')}" if conceded else "✓ all in order"


def _first_look(facts: CertificateFacts) -> Iterator[Flowable]:
    """Lines on concessions and missing parts, of which a buyer should know first."""
    lines = [
        f"△ Released by concession: {plain(one.text, 160)} {bold(one.granted.name)} agreed, "
        f"because: {plain(one.reason, 160)}"
        for one in facts.concessions[:3]
    ]
    if len(facts.concessions) > 3:
        lines.append(f"△ And {len(facts.concessions) - 3} more concessions, told further on.")
    lines += [
        f"○ Still missing: {short.count} × {plain(short.part, 120)}"
        for short in facts.shortages
        if not short.arrived
    ][:3]
    for line in lines or ["✓ No part is missing and nothing was released by concession."]:
        yield Paragraph(line, CELL)
