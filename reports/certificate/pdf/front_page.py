"""The first page of a certificate: which machine, ready for whom, by whom, and what to look at."""

from collections.abc import Iterator
from typing import Final

from reportlab.lib.units import mm
from reportlab.platypus import Flowable, Paragraph, Table, TableStyle

from prep.words import dates
from prep.words.lists import all_of
from prep.words.reader import Reader, say
from prep.words.unit.signatures import meaning, nothing_to_redo
from reports.certificate.facts import CertificateFacts, Replaced, UnitFacts
from reports.certificate.pdf import summary
from reports.pdf.letterhead import GAP, Issuer, issued_by
from reports.pdf.parts import PADDING, PALE, box, label, noted, space, together
from reports.pdf.qr import QrCode
from reports.pdf.typeface import (
    CELL,
    CENTERED,
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


def front(facts: CertificateFacts, width: float, logo: bytes | None = None) -> Iterator[Flowable]:
    """Flowables of the first page."""
    yield _letterhead(facts, width, logo)
    yield space(2)
    if facts.stands_in:
        yield noted(facts.stands_in.text(facts.reader), width)
        yield space(2)
    if facts.replaces:
        yield replacement(facts.replaces, width, facts.reader)
        yield space(2)
    yield _machine(facts, width)
    yield space(3)
    yield _for_and_by(facts, width)
    yield space(3)
    yield Paragraph(summary.statement(facts), TEXT)
    yield space(2.5)
    yield summary.figures_table(facts, width)
    yield space(3)
    yield summary.sections_table(facts, width)
    yield space(2.5)
    yield from summary.first_look(facts)
    yield space(2.5)
    yield _read_first(facts.reader, width)


def _letterhead(facts: CertificateFacts, width: float, logo: bytes | None) -> Table:
    reader = facts.reader
    issuer = Issuer(facts.dealer, facts.site, facts.letterhead, logo)
    title = Paragraph(say(reader, "Delivery certificate"), TITLE)
    left = [title, *issued_by(issuer, width * 0.62 - GAP)]
    right = [
        Paragraph(say(reader, "certificate number"), RIGHT),
        Paragraph(bold(facts.number), RIGHT.clone("number", fontSize=13, leading=16)),
    ]
    table = Table([[left, right]], [width * 0.62, width * 0.38])
    rule = ("LINEBELOW", (0, 0), (-1, -1), 1.6, "#000000")
    sides = [("LEFTPADDING", (0, 0), (0, 0), 0), ("RIGHTPADDING", (-1, 0), (-1, 0), 0)]
    table.setStyle(TableStyle([*PADDING, rule, *sides, ("BOTTOMPADDING", (0, 0), (-1, -1), 5)]))
    return table


def replacement(former: Replaced, width: float, reader: Reader) -> Table:
    """Box that names the replaced certificate and the reason, to be read before all else."""
    title = say(reader, "This certificate replaces {number}", number=bold(former.number))
    named = {
        "number": bold(former.number),
        "moment": plain(dates.moment(former.released.at, reader)),
        "name": plain(former.released.name),
    }
    if former.misread:
        warning = say(
            reader,
            "Do not use {number} anymore. It was for the same release, of {moment} by {name}, but "
            "gave the serial number as {serial}: the plate had been misread.",
            serial=bold(former.misread),
            **named,
        )
    elif former.why:
        warning = say(
            reader,
            "Do not use {number} anymore. It was for the release of {moment} by {name}, which no "
            "longer stands. Reason: {reason}",
            reason=bold(former.why, 200),
            **named,
        )
        warning = f"{warning} {nothing_to_redo(plain(former.nothing_because, 200), reader)}"
    else:
        warning = say(
            reader,
            "Do not use {number} anymore. It was for the release of {moment} by {name}, which "
            "this release follows.",
            **named,
        )
    shade = ("BACKGROUND", (0, 0), (-1, -1), PALE)
    return box([Paragraph(title, LARGE), Paragraph(warning, CELL)], width, shade)


def _machine(facts: CertificateFacts, width: float) -> Table:
    reader, room, unit = facts.reader, width - QR_SIDE - 4 * mm, facts.unit
    left: list[Flowable] = [
        label(say(reader, "machine")),
        fitted(f"{unit.maker} {unit.model}".strip(), room, 17, 10),
        label(_model(unit, reader)),
        space(2.5),
        label(say(reader, "serial number, as on the plate")),
        fitted(unit.serial, room, 34, 11),
        *_formerly(facts),
    ]
    right = [
        QrCode(facts.address, QR_SIDE),
        Paragraph(say(reader, "Verify this certificate at"), CENTERED),
        Paragraph(_broken(facts.address), CENTERED.clone("address", fontSize=6.4, leading=7.6)),
    ]
    table = Table([[left, right]], [room + 4 * mm, QR_SIDE])
    flush = [(f"{side}PADDING", (0, 0), (-1, -1), 0) for side in ("LEFT", "RIGHT", "TOP", "BOTTOM")]
    table.setStyle(TableStyle([*PADDING, *flush, ("VALIGN", (0, 0), (0, 0), "MIDDLE")]))
    return table


def _formerly(facts: CertificateFacts) -> list[Flowable]:
    """What the plate was taken for before it was corrected."""
    serials = dict.fromkeys(one.serial for one in facts.corrections)
    read = [one for one in serials if one != facts.unit.serial]
    if not read:
        return []
    text = say(facts.reader, "formerly read as {serials}", serials=all_of(read, facts.reader))
    return [label(text)]


def _broken(address: str) -> str:
    """An address broken before the number, so that the number is read in one piece."""
    start, slash, number = address.rpartition("/")
    return f"{plain(start + slash)}<br/>{plain(number)}"


def _model(unit: UnitFacts, reader: Reader) -> str:
    if not unit.options:
        return say(reader, "model {code}", code=unit.model_code)
    options = ", ".join(unit.options)
    return say(reader, "model {code}, with {options}", code=unit.model_code, options=options)


def _for_and_by(facts: CertificateFacts, width: float) -> Table:
    reader, released = facts.reader, facts.released
    left = [label(say(reader, "ready for")), *_ready_for(facts.unit, width / 2 - 14, reader)]
    right = [
        label(say(reader, "released by")),
        fitted(released.name, width / 2 - 14, 15, 9),
        Paragraph(bold(dates.moment(released.at, reader)), CELL),
        Paragraph(
            say(
                reader,
                "Signed electronically (PIN) as “{meaning}”: cleared for delivery",
                meaning=meaning(released.meaning, reader),
            ),
            NOTE,
        ),
    ]
    table = Table([[left, right]], [width / 2, width / 2])
    frame = [("BOX", (0, 0), (0, 0), 0.8, "#000000"), ("BOX", (1, 0), (1, 0), 0.8, "#000000")]
    wide = [("LEFTPADDING", (0, 0), (-1, -1), 6), ("BOTTOMPADDING", (0, 0), (-1, -1), 6)]
    table.setStyle(TableStyle([*PADDING, *frame, *wide]))
    return table


def _ready_for(unit: UnitFacts, room: float, reader: Reader) -> list[Flowable]:
    if unit.ready_for != "buyer":
        return [
            Paragraph(say(reader, "stock"), LARGE),
            Paragraph(say(reader, "Tractor match to be done at sale."), CELL),
        ]
    tractor = say(reader, "and this buyer's tractor: {tractor}", tractor=bold(unit.tractor, 160))
    return [fitted(unit.buyer, room, 15, 9), Paragraph(tractor, CELL)]


def _read_first(reader: Reader, width: float) -> Flowable:
    """Box that puts the manual before the certificate."""
    deference = say(
        reader,
        "The manufacturer's manual for this serial number comes first, and so do local codes and "
        "licensed or trained practice. This certificate says what was done and measured on the "
        "dates shown. It does not replace the manual or widen any limit in it. Read the manual, "
        "and inspect the machine, before its first use and before every season.",
    )
    title = bold(say(reader, "Read this first"))
    return together(box([Paragraph(title, CELL), Paragraph(deference, CELL)], width))
