"""The rest of a certificate: what went wrong and was settled, cautions, photographs, proof."""

from collections.abc import Iterator, Mapping
from typing import Final

from reportlab.lib.units import mm
from reportlab.platypus import Flowable, Paragraph, Table, TableStyle

from reports.facts import CertificateFacts, PhotoFacts, Signed
from reports.pdf import words
from reports.pdf.parts import PADDING, Heading, grid, heads, together
from reports.pdf.picture import Photograph
from reports.pdf.typeface import CELL, CODE, NOTE, bold, plain

ACROSS: Final = 3
PHOTO_HEIGHT: Final = 42 * mm


def settled(facts: CertificateFacts, width: float) -> Iterator[Flowable]:
    """Concessions, nonconformities put right, shortages, damage and steps that do not apply."""
    if facts.concessions:
        yield Heading("Released by concession", "concessions")
        rows = [
            [bold(one.where), plain(one.text), plain(one.reason), plain(_by(one.granted))]
            for one in facts.concessions
        ]
        yield _listing(("where", "what was found", "why released", "authority"), rows, width)
    if facts.flags:
        yield Heading("Found and put right", "flags")
        rows = [
            [plain(one.text), plain(_by(one.raised)), plain(one.how), plain(_by(one.closed))]
            for one in facts.flags
        ]
        yield _listing(("what was found", "found by", "how settled", "settled by"), rows, width)
    if facts.shortages:
        yield Heading("Parts that were missing", "shortages")
        yield _listing(("part", "noted by", "expected", "arrived"), _shortages(facts), width)
    if facts.damage:
        yield Heading("Damage noted", "damage")
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
        yield Heading("Steps marked not applicable", "skipped")
        rows = [[bold(step.title), plain(step.skipped)] for step in skipped]
        yield _listing(("step", "reason"), rows, width)
    if facts.not_applying:
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
    return f"{signed.name}, {words.moment(signed.at)}"


def _listing(titles: tuple[str, ...], rows: list[list[str]], width: float) -> Table:
    cells = [[Paragraph(cell, CELL) for cell in row] for row in rows]
    return grid([heads(*titles), *cells], [width / len(titles)] * len(titles))


def cautions(facts: CertificateFacts, width: float) -> Iterator[Flowable]:
    """What was read and acknowledged before the work it protects."""
    if not facts.cautions:
        return
    yield Heading("Cautions acknowledged before the work", "cautions")
    rows = [heads("caution", "acknowledged by")]
    for one in facts.cautions:
        people = "<br/>".join(plain(_by(by)) for by in one.acknowledged)
        text = f"{bold(one.severity)} {plain(one.text)}"
        rows.append([Paragraph(text, CELL), Paragraph(people, CELL)])
    yield grid(rows, [width * 0.66, width * 0.34])


def photographs(
    facts: CertificateFacts, pictures: Mapping[str, bytes], width: float
) -> Iterator[Flowable]:
    """Thumbnails, each with where, by whom and the digest of the whole picture."""
    if not facts.photos:
        return
    yield Heading("Photographs", "photographs")
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


def sign_offs(facts: CertificateFacts, width: float) -> Iterator[Flowable]:
    """Every signature that stands: printed name, moment and meaning."""
    yield Heading("Signatures", "signatures")
    yield Paragraph(
        "Each was given with a personal code over exactly the content shown, and is kept in the "
        "log with a digest of that content.",
        NOTE,
    )
    rows = [heads("printed name", "moment", "meaning", "over")]
    for step in facts.steps:
        rows += [_signature(one, step.title) for one in step.signed]
    rows.append(_signature(facts.released, "the whole machine"))
    yield grid(rows, [width * share for share in (0.24, 0.32, 0.18, 0.26)])


def _signature(one: Signed, over: str) -> list[Paragraph]:
    cells = (bold(one.name), plain(words.moment(one.at)), plain(one.meaning), plain(over))
    return [Paragraph(cell, CELL) for cell in cells]


def proof(facts: CertificateFacts, width: float) -> Iterator[Flowable]:
    """How anybody can check this certificate without asking us."""
    held = facts.proof
    rows = [
        ("log", held.log),
        ("this release is entry", f"{held.position} (counted from 0)"),
        ("hash of that entry", held.leaf),
        ("entries under the signed root", str(held.size)),
        ("signed root", held.root),
        ("key it is signed with", held.key),
        ("procedure, by digest", facts.sheet.digest),
        ("unit", facts.unit.id),
    ]
    table = grid(
        [[Paragraph(plain(name), CELL), Paragraph(plain(value), CODE)] for name, value in rows],
        [width * 0.3, width * 0.7],
        head=0,
    )
    yield together(
        Heading("Proof", "proof"),
        Paragraph(
            "The release stands in a log that can only grow. The hashes below lead from its entry "
            "to a root signed by the dealership, so that nobody, the dealership included, can "
            "change it unseen. The file <b>record.json</b> attached to this document holds the "
            "same facts for machines, the unit's entries up to the release, the proof and the "
            "signed checkpoint. Compare the key with the one the dealership publishes.",
            CELL,
        ),
        table,
    )
    yield Paragraph(
        f"{plain('�')} stands for a character this document's typeface does not have; the "
        "attached record has it.",
        NOTE,
    )
