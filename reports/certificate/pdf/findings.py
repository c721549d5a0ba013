"""Sections of a certificate on settled nonconformities, cautions and photographs."""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from typing import Final

from reportlab.lib.units import mm
from reportlab.platypus import Flowable, Paragraph, Table, TableStyle

from prep.record.unit.stands_for import Kind
from prep.words.dates import short_moment
from prep.words.hazards import severity_text
from prep.words.reader import Reader, say
from prep.words.unit.stands_for import TITLES
from reports.certificate.facts import (
    CertificateFacts,
    DamageFacts,
    PhotoFacts,
    ShortageFacts,
    Signed,
)
from reports.pdf.parts import PADDING, grid, headed, heads, space
from reports.pdf.picture import Photograph
from reports.pdf.typeface import CELL, CODE, NOTE, bold, cut, joined, plain

ACROSS: Final = 3
PHOTO_HEIGHT: Final = 42 * mm
MOST_OF_NAME: Final = 120
MOST_PLACES: Final = 6  # named of one kind
MOST_PEOPLE: Final = 15  # listed at one caution


def settled(facts: CertificateFacts, width: float) -> Iterator[Flowable]:
    """Tables of what the release stands for: in short, and then of what has more to tell.

    Concessions, fixed nonconformities, shortages, damage and steps left out.
    """
    yield from _stands_for(facts, width)
    yield from _concessions(facts, width)
    yield from _fixed(facts, width)
    yield from _shortages(facts, width)
    yield from _damage(facts, width)
    yield from _left_out(facts, width)


def _stands_for(facts: CertificateFacts, width: float) -> Iterator[Flowable]:
    """Each kind with how often it occurs and where."""
    reader, places = facts.reader, defaultdict[str, list[str]](list)
    for item in facts.stands_for:
        places[item.kind].append(item.where or item.text)
    rows = [
        [
            bold(say(reader, TITLES[Kind(kind)])),
            str(len(where)),
            plain("; ".join(where[:MOST_PLACES]) + (" …" if len(where) > MOST_PLACES else "")),
        ]
        for kind, where in places.items()
    ]
    if rows:
        yield from headed(say(reader, "What this release stands for"), "stands-for")
        titles = (say(reader, "what"), say(reader, "how many"), say(reader, "where"))
        yield _listing(titles, rows, width, (0.3, 0.12, 0.58))


def _concessions(facts: CertificateFacts, width: float) -> Iterator[Flowable]:
    reader = facts.reader
    rows = [
        [bold(one.where), plain(one.text), plain(one.reason), _by(one.granted, reader)]
        for one in facts.concessions
    ]
    if rows:
        yield from headed(say(reader, "Accepted out of limit (concession)"), "concessions")
        titles = (
            say(reader, "where"),
            say(reader, "finding"),
            say(reader, "why accepted"),
            say(reader, "accepted by"),
        )
        yield _listing(titles, rows, width, (0.2, 0.32, 0.28, 0.2))


def _fixed(facts: CertificateFacts, width: float) -> Iterator[Flowable]:
    reader = facts.reader
    rows = [
        [plain(one.text), _by(one.raised, reader), plain(one.how), _by(one.closed, reader)]
        for one in facts.flags
    ]
    if rows:
        yield from headed(say(reader, "Found and fixed"), "flags")
        titles = (
            say(reader, "finding"),
            say(reader, "found by"),
            say(reader, "how it was closed"),
            say(reader, "closed by"),
        )
        yield _listing(titles, rows, width, (0.4, 0.2, 0.2, 0.2))


def _shortages(facts: CertificateFacts, width: float) -> Iterator[Flowable]:
    reader = facts.reader
    rows = [_shortage(one, reader) for one in facts.shortages]
    if rows:
        yield from headed(say(reader, "Missing parts"), "shortages")
        titles = (
            say(reader, "part"),
            say(reader, "noted by"),
            say(reader, "expected"),
            say(reader, "received"),
        )
        yield _listing(titles, rows, width)


def _shortage(one: ShortageFacts, reader: Reader) -> list[str]:
    lent = say(reader, "taken for {unit}", unit=one.lent_to) if one.lent_to else ""
    missing = bold(say(reader, "○ still missing"))
    return [
        plain(f"{one.count} × {one.part}"),
        _by(one.noted, reader),
        joined(plain(one.expected), plain(lent)),
        _by(one.arrived, reader) if one.arrived else missing,
    ]


def _damage(facts: CertificateFacts, width: float) -> Iterator[Flowable]:
    reader = facts.reader
    rows = [_damaged(one, reader) for one in facts.damage]
    if rows:
        yield from headed(say(reader, "Damage on arrival"), "damage")
        titles = (
            say(reader, "damage"),
            say(reader, "where"),
            say(reader, "freight claim"),
            say(reader, "noted by"),
        )
        yield _listing(titles, rows, width)


def _damaged(one: DamageFacts, reader: Reader) -> list[str]:
    if one.on_carrier_paper:
        claim = say(reader, "noted on the bill of lading")
    else:
        claim = say(reader, "not noted on the bill of lading")
    return [
        plain(f"{one.count} × {one.what}"),
        plain(one.where),
        claim,
        _by(one.noted, reader),
    ]


def _left_out(facts: CertificateFacts, width: float) -> Iterator[Flowable]:
    reader = facts.reader
    rows = [[bold(step.title), plain(step.skipped)] for step in facts.steps if step.skipped]
    if rows:
        yield from headed(say(reader, "Steps marked not applicable"), "skipped")
        yield _listing((say(reader, "step"), say(reader, "reason")), rows, width)
    if facts.not_applying:
        yield space(1)
        note = say(
            reader,
            "Steps this machine does not need, by its model and options: {steps}.",
            steps="; ".join(plain(title) for title in facts.not_applying),
        )
        yield Paragraph(note, NOTE)


def _by(signed: Signed, reader: Reader) -> str:
    return plain(f"{cut(signed.name, MOST_OF_NAME)}, {short_moment(signed.at, reader)}")


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
    reader = facts.reader
    yield from headed(say(reader, "Cautions acknowledged before the work"), "cautions")
    rows = [heads(say(reader, "caution"), say(reader, "acknowledged by"))]
    for one in facts.cautions:
        text = f"{bold(severity_text(one.severity, reader))} {plain(one.text)}"
        people = _people(one.acknowledged, reader)
        rows.append([Paragraph(text, CELL), Paragraph(people, CELL)])
    yield grid(rows, [width * 0.66, width * 0.34])


def _people(acknowledged: tuple[Signed, ...], reader: Reader) -> str:
    listed = [_by(by, reader) for by in acknowledged[:MOST_PEOPLE]]
    more = len(acknowledged) - MOST_PEOPLE
    if more > 0:
        listed.append(say(reader, "and {count} more, in the record", count=more))
    return joined(*listed)


def photographs(
    facts: CertificateFacts, pictures: Mapping[str, bytes], width: float
) -> Iterator[Flowable]:
    """Grid of thumbnails, each with where, by whom and the digest of the whole picture."""
    if not facts.photos:
        return
    reader = facts.reader
    yield from headed(say(reader, "Photos"), "photographs", 75)
    side = width / ACROSS
    cells = [_photograph(one, pictures.get(one.digest), side - 8, reader) for one in facts.photos]
    cells += [[] for _ in range(-len(cells) % ACROSS)]
    rows = [cells[place : place + ACROSS] for place in range(0, len(cells), ACROSS)]
    table = Table(rows, [side] * ACROSS)
    table.setStyle(TableStyle([*PADDING, ("BOTTOMPADDING", (0, 0), (-1, -1), 8)]))
    yield table


def _photograph(
    one: PhotoFacts, content: bytes | None, width: float, reader: Reader
) -> list[Flowable]:
    return [
        Photograph(content, width, PHOTO_HEIGHT, reader),
        Paragraph(bold(one.where, 120), NOTE),
        Paragraph(plain(one.note, 160), NOTE),
        Paragraph(_by(one.taken, reader), NOTE),
        Paragraph(plain(f"SHA-256 {one.digest[:16]}…"), CODE),
    ]
