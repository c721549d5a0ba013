"""Sections of a certificate on tools, computed limits, signatures and the log proof."""

from collections.abc import Iterator
from typing import Final

from reportlab.platypus import Flowable, Paragraph, Table

from prep.words import dates
from prep.words.reader import Reader, say, say_count
from prep.words.unit.signatures import meaning
from reports.certificate.attachments import RECORD, STATEMENT
from reports.certificate.facts import CertificateFacts, InstrumentUsed, Signed
from reports.pdf.parts import Heading, grid, headed, heads, space, together
from reports.pdf.typeface import CELL, CODE, NOTE, REPLACED, bold, joined, plain

MOST_IN_CELL: Final = 100


def instruments(facts: CertificateFacts, width: float) -> Iterator[Flowable]:
    """Table of the tools of standing and replaced readings, as they were at the time."""
    used: dict[tuple[str, str, str], InstrumentUsed] = {}
    for box in facts.boxes:
        for answer in (box.current, *box.earlier):
            if answer and answer.instrument:
                one = answer.instrument
                used.setdefault((one.code, one.calibrated, one.due), one)
    if not used:
        return
    reader = facts.reader
    yield from headed(say(reader, "Tools"), "instruments")
    titles = (
        say(reader, "code"),
        say(reader, "tool"),
        say(reader, "serial"),
        say(reader, "calibrated"),
        say(reader, "due"),
        say(reader, "calibration certificate"),
    )
    rows = [_instrument(one, reader) for _, one in sorted(used.items())]
    yield _listing(titles, rows, width, (0.09, 0.26, 0.12, 0.12, 0.12, 0.29))


def _instrument(one: InstrumentUsed, reader: Reader) -> list[str]:
    return [
        bold(one.code, MOST_IN_CELL),
        plain(one.name, MOST_IN_CELL),
        plain(one.serial, MOST_IN_CELL),
        dates.short_day(one.calibrated, reader) or say(reader, "not stated"),
        dates.short_day(one.due, reader) or say(reader, "no due date"),
        plain(one.certificate, MOST_IN_CELL),
    ]


def computed_limits(facts: CertificateFacts, width: float) -> Iterator[Flowable]:
    """Table of the rules by which limits were computed, each once with its formula and source."""
    rules = {
        answer.limit.computed.rule: answer.limit.computed
        for answer in (box.current for box in facts.boxes)
        if answer and answer.limit and answer.limit.computed
    }
    if not rules:
        return
    reader = facts.reader
    yield from headed(say(reader, "How limits were computed"), "computed-limits")
    rows = [
        [
            bold(rule.title),
            joined(
                plain(rule.formula),
                plain(say(reader, "Source: {source}", source=rule.source)),
                plain(rule.decided_by),
            ),
        ]
        for rule in rules.values()
    ]
    titles = (say(reader, "limit"), say(reader, "formula and source"))
    yield _listing(titles, rows, width, (0.32, 0.68))


def _listing(
    titles: tuple[str, ...], rows: list[list[str]], width: float, shares: tuple[float, ...]
) -> Table:
    cells = [[Paragraph(cell, CELL) for cell in row] for row in rows]
    return grid([heads(*titles), *cells], [width * share for share in shares])


def sign_offs(facts: CertificateFacts, width: float) -> Iterator[Flowable]:
    """Table of standing signatures by person and meaning; each step's head states its moment."""
    reader = facts.reader
    given: dict[tuple[str, str], list[Signed]] = {}
    for step in facts.steps:
        for one in step.signed:
            given.setdefault((one.name, one.meaning), []).append(one)
    yield from headed(say(reader, "Signatures"), "signatures")
    note = say(
        reader,
        "Each signature was given by PIN over exactly the content shown, and is in the log with a "
        "digest of that content. The date and time of each are listed with its step above.",
    )
    yield Paragraph(note, NOTE)
    rows = [
        [
            bold(name),
            meaning(token, reader),
            say_count(reader, "{count} step", "{count} steps", len(signed)),
            _moments(signed, reader),
        ]
        for (name, token), signed in given.items()
    ]
    last = facts.released
    rows.append(
        [
            bold(last.name),
            meaning(last.meaning, reader),
            say(reader, "the whole machine"),
            plain(dates.moment(last.at, reader)),
        ]
    )
    titles = (
        say(reader, "printed name"),
        say(reader, "meaning"),
        say(reader, "covers"),
        say(reader, "date and time (first – last)"),
    )
    yield _listing(titles, rows, width, (0.26, 0.2, 0.18, 0.36))
    for declares in facts.statements:
        declared = say(
            reader,
            "“{meaning}” declares: {statement}",
            meaning=meaning(declares.meaning, reader),
            statement=declares.text,
        )
        yield Paragraph(plain(declared), NOTE)


def _moments(signed: list[Signed], reader: Reader) -> str:
    first, last = min(one.at for one in signed), max(one.at for one in signed)
    start, end = dates.moment(first, reader), dates.moment(last, reader)
    return plain(start) if start == end else joined(plain(f"{start} –"), plain(end))


def proof(facts: CertificateFacts, width: float) -> Iterator[Flowable]:
    """Section with the log proof, by which anybody can check the certificate on their own."""
    reader, held = facts.reader, facts.proof
    rows = [
        (say(reader, "log"), held.log),
        (
            say(reader, "log entry of this release"),
            say(reader, "{position} (counted from 0)", position=held.position),
        ),
        (say(reader, "hash of that entry"), held.leaf),
        (say(reader, "entries under the signed root"), str(held.size)),
        (say(reader, "signed root"), held.root),
        (say(reader, "signing key"), held.key),
        (say(reader, "digest of the procedure"), facts.sheet.digest),
        (say(reader, "unit ID"), facts.unit.id),
    ]
    table = grid(
        [[Paragraph(plain(name), CELL), Paragraph(plain(value), CODE)] for name, value in rows],
        [width * 0.3, width * 0.7],
        head=0,
    )
    explanation = say(
        reader,
        "The release is an entry in a log that can only be added to. The hashes below lead from "
        "that entry to a root signed by the dealership, so that nobody, not even the dealership, "
        "can change it without being noticed. The file {file} attached to this document holds the "
        "same facts in machine-readable form, the unit's log entries up to the release, the proof "
        "and the signed checkpoint. Compare the signing key with the one the dealership publishes.",
        file=bold(RECORD),
    )
    covered = say(
        reader,
        "The attached file {file} is signed with the same key over this whole PDF, every page and "
        "attachment of it. Any change to the PDF shows when it is checked: at the address on the "
        "first page, or without a network with verify.html or verifier.py, which the dealership "
        "gives away. It covers the PDF, not a copy on paper: ask for the PDF where it matters.",
        file=bold(STATEMENT),
    )
    yield together(
        Heading(say(reader, "Proof"), "proof"),
        Paragraph(explanation, CELL),
        space(1),
        Paragraph(covered, CELL),
        space(1.5),
        table,
        space(1),
    )
    note = say(
        reader,
        "{mark} stands for a character that this document's typeface does not have, and {cut} for "
        "60 more characters. The attached record has them all.",
        mark=REPLACED,
        cut="… (+60)",
    )
    yield Paragraph(note, NOTE)
