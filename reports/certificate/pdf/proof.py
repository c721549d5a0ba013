"""Sections of a certificate on instruments, computed limits, signatures and the log proof."""

from collections.abc import Iterator
from typing import Final

from reportlab.platypus import Flowable, Paragraph, Table

from prep.words import dates
from prep.words.reader import ENGLISH
from reports.certificate.facts import CertificateFacts, InstrumentUsed, Signed
from reports.pdf.parts import Heading, grid, headed, heads, space, together
from reports.pdf.typeface import CELL, CODE, NOTE, bold, joined, plain

MOST_IN_CELL: Final = 100
WHOLE: Final = "the whole machine"


def instruments(facts: CertificateFacts, width: float) -> Iterator[Flowable]:
    """Table of the instruments of standing and replaced readings, as they were at the time."""
    used: dict[tuple[str, str, str], InstrumentUsed] = {}
    for box in facts.boxes:
        for answer in (box.current, *box.earlier):
            if answer and answer.instrument:
                one = answer.instrument
                used.setdefault((one.code, one.calibrated, one.due), one)
    if not used:
        return
    yield from headed("Instruments", "instruments")
    rows = [
        [
            bold(one.code, MOST_IN_CELL),
            plain(one.name, MOST_IN_CELL),
            plain(one.serial, MOST_IN_CELL),
            dates.short_day(one.calibrated, ENGLISH) or "not stated",
            dates.short_day(one.due, ENGLISH) or "no due date",
            plain(one.certificate, MOST_IN_CELL),
        ]
        for _, one in sorted(used.items())
    ]
    titles = ("code", "instrument", "serial", "calibrated", "due", "certificate")
    yield _listing(titles, rows, width, (0.08, 0.27, 0.12, 0.12, 0.12, 0.29))


def computed_limits(facts: CertificateFacts, width: float) -> Iterator[Flowable]:
    """Table of the rules by which limits were computed, each once with its formula and source."""
    rules = {
        answer.limit.computed.rule: answer.limit.computed
        for answer in (box.current for box in facts.boxes)
        if answer and answer.limit and answer.limit.computed
    }
    if not rules:
        return
    yield from headed("How limits were worked out", "worked-out")
    rows = [
        [bold(rule.title), joined(plain(rule.formula), plain(f"Source: {rule.source}"))]
        for rule in rules.values()
    ]
    yield _listing(("what", "formula and source"), rows, width, (0.32, 0.68))


def _listing(
    titles: tuple[str, ...], rows: list[list[str]], width: float, shares: tuple[float, ...]
) -> Table:
    cells = [[Paragraph(cell, CELL) for cell in row] for row in rows]
    return grid([heads(*titles), *cells], [width * share for share in shares])


def sign_offs(facts: CertificateFacts, width: float) -> Iterator[Flowable]:
    """Table of standing signatures by person and meaning; each step's head states its moment."""
    given: dict[tuple[str, str], list[Signed]] = {}
    for step in facts.steps:
        for one in step.signed:
            given.setdefault((one.name, one.meaning), []).append(one)
    yield from headed("Signatures", "signatures")
    yield Paragraph(
        "Each was given with a personal code over exactly the content shown, and is kept in the "
        "log with a digest of that content. The steps above state each with its moment.",
        NOTE,
    )
    rows = [
        [bold(name), plain(meaning), dates.count(len(signed), "step"), _moments(signed)]
        for (name, meaning), signed in given.items()
    ]
    last = facts.released
    rows.append(
        [bold(last.name), plain(last.meaning), WHOLE, plain(dates.moment(last.at, ENGLISH))]
    )
    titles = ("printed name", "meaning", "over", "moment, or from first to last")
    yield _listing(titles, rows, width, (0.26, 0.2, 0.18, 0.36))


def _moments(signed: list[Signed]) -> str:
    first, last = min(one.at for one in signed), max(one.at for one in signed)
    start, end = dates.moment(first, ENGLISH), dates.moment(last, ENGLISH)
    return plain(start) if start == end else joined(plain(start), plain(f"to {end}"))


def proof(facts: CertificateFacts, width: float) -> Iterator[Flowable]:
    """Section with the log proof, by which anybody can check the certificate on their own."""
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
        space(1.5),
        table,
        space(1),
    )
    yield Paragraph(
        f"{plain('�')} stands for a character this document's typeface does not have; the "
        "attached record has it.",
        NOTE,
    )
