"""Sections of a certificate on settled nonconformities, cautions and photographs."""

from collections.abc import Iterator, Mapping
from typing import Final

from reportlab.lib.units import mm
from reportlab.platypus import Flowable, Paragraph, Table, TableStyle

from prep.words import dates
from prep.words.reader import ENGLISH
from reports.certificate.facts import CertificateFacts, PhotoFacts, Signed
from reports.pdf.parts import PADDING, grid, headed, heads, space
from reports.pdf.picture import Photograph
from reports.pdf.typeface import CELL, CODE, NOTE, bold, cut, plain

ACROSS: Final = 3
PHOTO_HEIGHT: Final = 42 * mm
MOST_OF_NAME: Final = 120
MOST_PEOPLE: Final = 15  # listed at one caution


def settled(facts: CertificateFacts, width: float) -> Iterator[Flowable]:
    """Tables of concessions, fixed nonconformities, shortages, damage and steps left out."""
    if facts.concessions:
        yield from headed("Released by concession", "concessions")
        rows = [
            [bold(one.where), plain(one.text), plain(one.reason), plain(_by(one.granted))]
            for one in facts.concessions
        ]
        titles = ("where", "what was found", "why released", "authority")
        yield _listing(titles, rows, width, (0.2, 0.32, 0.28, 0.2))
    if facts.flags:
        yield from headed("Found and put right", "flags")
        rows = [
            [plain(one.text), plain(_by(one.raised)), plain(one.how), plain(_by(one.closed))]
            for one in facts.flags
        ]
        titles = ("what was found", "found by", "how settled", "settled by")
        yield _listing(titles, rows, width, (0.4, 0.2, 0.2, 0.2))
    if facts.shortages:
        yield from headed("Parts that were missing", "shortages")
        yield _listing(("part", "noted by", "expected", "arrived"), _shortages(facts), width)
    if facts.damage:
        yield from headed("Damage noted", "damage")
        rows = [
            [
                plain(f"{one.count} × {one.what}"),
                plain(one.where),
                "on the carrier's paper" if one.on_carrier_paper else "not on the carrier's paper",
                plain(_by(one.noted)),
            ]
            for one in facts.damage
        ]
        yield _listing(("what", "where", "claim", "noted by"), rows, width)
    yield from _left_out(facts, width)


def _left_out(facts: CertificateFacts, width: float) -> Iterator[Flowable]:
    skipped = [step for step in facts.steps if step.skipped]
    if skipped:
        yield from headed("Steps marked not applicable", "skipped")
        rows = [[bold(step.title), plain(step.skipped)] for step in skipped]
        yield _listing(("step", "reason"), rows, width)
    if facts.not_applying:
        yield space(1)
        listed = "; ".join(plain(title) for title in facts.not_applying)
        yield Paragraph(
            f"Steps this machine does not need, by its model and options: {listed}.", NOTE
        )


def _shortages(facts: CertificateFacts) -> list[list[str]]:
    return [
        [
            plain(f"{one.count} × {one.part}"),
            plain(_by(one.noted)),
            plain(one.expected + (f", lent to {one.lent_to}" if one.lent_to else "")),
            plain(_by(one.arrived)) if one.arrived else bold("○ still missing"),
        ]
        for one in facts.shortages
    ]


def _by(signed: Signed) -> str:
    return f"{cut(signed.name, MOST_OF_NAME)}, {dates.short_moment(signed.at, ENGLISH)}"


def _listing(
    titles: tuple[str, ...], rows: list[list[str]], width: float, shares: tuple[float, ...] = ()
) -> Table:
    """A table of texts; without `shares` of the width its columns are equally wide."""
    cells = [[Paragraph(cell, CELL) for cell in row] for row in rows]
    parts = shares or (1 / len(titles),) * len(titles)
    return grid([heads(*titles), *cells], [width * part for part in parts])


def cautions(facts: CertificateFacts, width: float) -> Iterator[Flowable]:
    """Table of cautions, each with who acknowledged it before the work it protects."""
    if not facts.cautions:
        return
    yield from headed("Cautions acknowledged before the work", "cautions")
    rows = [heads("caution", "acknowledged by")]
    for one in facts.cautions:
        people = "<br/>".join(plain(_by(by)) for by in one.acknowledged[:MOST_PEOPLE])
        more = len(one.acknowledged) - MOST_PEOPLE
        people += f"<br/>and {more} more in the record" if more > 0 else ""
        text = f"{bold(one.severity)} {plain(one.text)}"
        rows.append([Paragraph(text, CELL), Paragraph(people, CELL)])
    yield grid(rows, [width * 0.66, width * 0.34])


def photographs(
    facts: CertificateFacts, pictures: Mapping[str, bytes], width: float
) -> Iterator[Flowable]:
    """Grid of thumbnails, each with where, by whom and the digest of the whole picture."""
    if not facts.photos:
        return
    yield from headed("Photographs", "photographs", 75)
    side = width / ACROSS
    cells = [_photograph(one, pictures.get(one.digest), side - 8) for one in facts.photos]
    cells += [[] for _ in range(-len(cells) % ACROSS)]
    rows = [cells[place : place + ACROSS] for place in range(0, len(cells), ACROSS)]
    table = Table(rows, [side] * ACROSS)
    table.setStyle(TableStyle([*PADDING, ("BOTTOMPADDING", (0, 0), (-1, -1), 8)]))
    yield table


def _photograph(one: PhotoFacts, content: bytes | None, width: float) -> list[Flowable]:
    return [
        Photograph(content, width, PHOTO_HEIGHT),
        Paragraph(bold(one.where, 120), NOTE),
        Paragraph(plain(one.note, 160), NOTE),
        Paragraph(plain(_by(one.taken)), NOTE),
        Paragraph(plain(f"SHA-256 {one.digest[:16]}…"), CODE),
    ]
