"""What somebody can make of genuine certificates who has everything but the log's key.

He has two certificates of one yard, the code of the service, libraries that write PDF, and a key of
his own. Each move is one forgery, and says in which words it must be named.

Of all he can do, one thing no verifier can refuse: to make a certificate of his own, signed with
his own key, and hand it to somebody who does not have the dealership's. That one is told whose key
was not checked, and never that all holds.
"""

import random
import re
import zlib
from collections.abc import Callable
from dataclasses import replace
from io import BytesIO
from typing import Final, NamedTuple

import pikepdf
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
from pypdf import PdfWriter
from pypdf.generic import DecodedStreamObject, NameObject

from prep.record.log import canonical_json, signed_notes
from reports.certificate.document import certificate_pdf
from reports.pdf import statement
from reports.pdf.archival import Attachment, archival
from tests.campaigns.plan import altered_text
from tests.reports.certificates import Issued, record_of_pdf
from tests.reports.pdf_statement import blank, place, statement_of

OWN: Final = Ed25519PrivateKey.from_private_bytes(b"a key of the forger's (invented)")
CHANGED: Final = "a page, its record or something else"
UPDATED: Final = "an update was appended"
NO_STATEMENT: Final = "carries no statement over the whole file"
TWO: Final = "carries two statements"
TORN: Final = "was cut, lengthened or torn apart"
MOVED: Final = "is not where it was written: moved"
NOT_FORMED: Final = "it is not well formed"
OTHER_RECORD: Final = "is of another certificate"
FALSE: Final = "The signature of certificate.pdf (statement) is false"
OTHER_KEY: Final = "certificate.pdf (statement) is not signed by the key of this log."
ADDED: Final = "bytes were added after its end"
CUT: Final = "its end is missing"


class Forged(NamedTuple):
    """A forged certificate, and the words in which a verifier must name what was done."""

    pdf: bytes
    words: str


class Chance(NamedTuple):
    """What a move is made with: a source of chance, a certificate, another, and his own key."""

    draw: random.Random
    one: Issued
    other: Issued

    @property
    def key(self) -> str:
        """His key as it would be published, under the name of the yard's log."""
        return signed_notes.verifier_key(self.one.facts.proof.log, OWN).text


def rewritten(pdf: bytes, record: bytes, change: Callable[[pikepdf.Pdf], None]) -> bytes:
    """The pages of a certificate changed, written again as the service does, not signed."""
    target = BytesIO()
    with pikepdf.open(BytesIO(pdf)) as opened:
        change(opened)
        for name in list(opened.attachments):
            del opened.attachments[name]
        opened.save(target)
    empty = Attachment("statement.txt", statement.EMPTY, "invented", "text/plain", plain=True)
    return archival(target.getvalue(), Attachment("record.json", record, "invented"), empty)


def record(issued: Issued) -> bytes:
    """The record attached to a certificate."""
    return canonical_json.encode(record_of_pdf(issued.pdf))


def painted(opened: pikepdf.Pdf, draw: random.Random) -> None:
    """A white box over a part of some page."""
    page = opened.pages[draw.randrange(len(opened.pages))]
    box = f"q 1 g {draw.randrange(60, 500)} {draw.randrange(60, 700)} 90 14 re f Q"
    page.contents_add(box.encode(), prepend=False)


def stated_anew(pdf: bytes, number: str, log: str, key: Ed25519PrivateKey = OWN) -> bytes:
    """A certificate with a flawless statement under a key that is not the log's."""
    empty = blank(pdf)
    digest = statement.digest_of(empty)
    text = f"Yardproof certificate\nlog {log}\ndocument certificate {number}\nfile {digest}\n"
    return statement.stated(empty, signed_notes.sign_note(text, log, key))


def placed(pdf: bytes, note: bytes) -> bytes:
    """A certificate with other bytes in the place of its statement."""
    start, stop = place(pdf).span(1)
    return pdf[:start] + note.ljust(stop - start, b"\n")[: stop - start] + pdf[stop:]


def painted_by_an_update(chance: Chance) -> Forged:
    """An incremental update that draws a box over a page; the signed bytes stand untouched."""
    writer = PdfWriter(BytesIO(chance.one.pdf), incremental=True)
    page = writer.pages[chance.draw.randrange(len(writer.pages))]
    box = DecodedStreamObject()
    box.set_data(b"q 1 g 60 %d 90 14 re f Q" % chance.draw.randrange(60, 700))
    contents = page.get_contents()
    assert contents is not None
    box.set_data(contents.get_data() + b"\n" + box.get_data())
    page[NameObject("/Contents")] = writer._add_object(box)
    target = BytesIO()
    writer.write(target)
    return Forged(target.getvalue(), UPDATED)


def painted_and_saved(chance: Chance) -> Forged:
    """Opened in a program, painted over, saved: the program packs the statement."""
    target = BytesIO()
    with pikepdf.open(BytesIO(chance.one.pdf)) as opened:
        painted(opened, chance.draw)
        opened.save(target)
    return Forged(target.getvalue(), NO_STATEMENT)


def painted_with_the_statement_kept(chance: Chance) -> Forged:
    """Painted over, cross references right, and the genuine statement in its place."""
    pdf = rewritten(chance.one.pdf, record(chance.one), lambda opened: painted(opened, chance.draw))
    return Forged(placed(pdf, statement_of(chance.one.pdf).encode()), CHANGED)


def a_stream_rewritten_in_place(chance: Chance) -> Forged:
    """One packed stream with another content, no longer than it was, so that every offset fits."""
    pdf = chance.one.pdf
    found = list(re.finditer(rb"/FlateDecode[^>]*>>\s*stream\n", pdf))
    while True:
        start = chance.draw.choice(found).end()
        stop = pdf.index(b"endstream", start)
        try:
            content = bytearray(zlib.decompress(pdf[start:stop].rstrip(b"\n")))
        except zlib.error:
            continue
        content[chance.draw.randrange(len(content))] ^= 1 << chance.draw.randrange(8)
        packed = zlib.compress(bytes(content), 9)
        if len(packed) <= stop - start and packed != pdf[start:stop]:
            break
    return Forged(pdf[:start] + packed.ljust(stop - start, b"\n") + pdf[stop:], CHANGED)


def pages_exchanged(chance: Chance) -> Forged:
    """A page of another certificate in the place of one."""

    def change(opened: pikepdf.Pdf) -> None:
        with pikepdf.open(BytesIO(chance.other.pdf)) as other:
            here, there = (chance.draw.randrange(len(one.pages)) for one in (opened, other))
            opened.pages[here] = other.pages[there]

    pdf = rewritten(chance.one.pdf, record(chance.one), change)
    return Forged(placed(pdf, statement_of(chance.one.pdf).encode()), CHANGED)


def a_page_taken_out(chance: Chance) -> Forged:
    """One page fewer."""

    def change(opened: pikepdf.Pdf) -> None:
        del opened.pages[chance.draw.randrange(len(opened.pages))]

    pdf = rewritten(chance.one.pdf, record(chance.one), change)
    return Forged(placed(pdf, statement_of(chance.one.pdf).encode()), CHANGED)


def record_of_another(chance: Chance) -> Forged:
    """The other certificate's record attached."""
    pdf = rewritten(chance.one.pdf, record(chance.other), lambda opened: None)
    return Forged(placed(pdf, statement_of(chance.one.pdf).encode()), OTHER_RECORD)


def record_changed(chance: Chance) -> Forged:
    """Some reading of the record is another."""
    held = record_of_pdf(chance.one.pdf)
    answers = [
        box["current"]
        for section in held["certificate"]["sections"]
        for step in section["steps"]
        for box in step["boxes"]
        if box["current"]
    ]
    answer = chance.draw.choice(answers)
    answer["typed"] = altered_text(answer["typed"], chance.draw) + "0"
    pdf = rewritten(chance.one.pdf, canonical_json.encode(held), lambda opened: None)
    return Forged(placed(pdf, statement_of(chance.one.pdf).encode()), CHANGED)


def entry_changed(chance: Chance) -> Forged:
    """The proven entry is another, the path to the root the same."""
    held = record_of_pdf(chance.one.pdf)
    entry = held["proof"]["entry"]
    held["proof"]["entry"] = altered_text(entry, chance.draw) + " "
    pdf = rewritten(chance.one.pdf, canonical_json.encode(held), lambda opened: None)
    words = f"is not what the log of {chance.one.facts.proof.log} holds there"
    return Forged(placed(pdf, statement_of(chance.one.pdf).encode()), words)


def built_with_the_code(chance: Chance) -> Forged:
    """Facts of his own, drawn by the service's own code, under the genuine statement."""
    facts = chance.one.facts
    serial = altered_text(facts.unit.serial, chance.draw, "0123456789")
    unit = replace(facts.unit, serial=f"{serial}7", buyer="Nobody (invented)")
    pdf = certificate_pdf(replace(facts, unit=unit), {}, chance.draw.choice(["A4", "Letter"]))
    return Forged(placed(pdf, statement_of(chance.one.pdf).encode()), CHANGED)


def signed_by_himself(chance: Chance) -> Forged:
    """Painted over and flawlessly signed with his own key, under the name of the yard's log."""
    pdf = rewritten(chance.one.pdf, record(chance.one), lambda opened: painted(opened, chance.draw))
    facts = chance.one.facts
    return Forged(stated_anew(pdf, facts.number, facts.proof.log), OTHER_KEY)


def his_key_inside(chance: Chance) -> Forged:
    """The same, and his key in the record as if the yard had published it."""
    held = record_of_pdf(chance.one.pdf)
    held["proof"]["key"] = chance.key
    pdf = rewritten(
        chance.one.pdf,
        canonical_json.encode(held),
        lambda opened: painted(opened, chance.draw),
    )
    facts = chance.one.facts
    return Forged(stated_anew(pdf, facts.number, facts.proof.log), OTHER_KEY)


def a_line_for_each_key(chance: Chance) -> Forged:
    """The genuine signature and one of his own under one statement."""
    text, _, signatures = statement_of(chance.one.pdf).rpartition("\n\n")
    own = signed_notes.sign_note(f"{text}\n", chance.one.facts.proof.log, OWN)
    lines = [signatures, own.rpartition("\n\n")[2]]
    chance.draw.shuffle(lines)
    return Forged(placed(chance.one.pdf, f"{text}\n\n{''.join(lines)}".encode()), NOT_FORMED)


def digest_put_right(chance: Chance) -> Forged:
    """A byte changed, the statement's digest made to fit, its signature kept."""
    pdf = bytearray(chance.one.pdf)
    start, stop = place(chance.one.pdf).span(1)
    at = chance.draw.choice([chance.draw.randrange(start - 99), chance.draw.randrange(1, 99)])
    pdf[at] ^= 1 << chance.draw.randrange(8)
    genuine = statement.digest_of(chance.one.pdf).encode()
    note = bytes(pdf[start:stop]).replace(genuine, statement.digest_of(bytes(pdf)).encode())
    return Forged(placed(bytes(pdf), note), FALSE)


def number_changed(chance: Chance) -> Forged:
    """Another number in the statement."""
    number = chance.one.facts.number
    other = altered_text(number, chance.draw, "0123456789") + "0"
    note = statement_of(chance.one.pdf).replace(number, other)
    return Forged(placed(chance.one.pdf, note.encode()), FALSE)


def statement_of_another(chance: Chance) -> Forged:
    """The other certificate's genuine statement."""
    note = statement_of(chance.other.pdf).encode()
    return Forged(placed(chance.one.pdf, note), CHANGED)


def a_checkpoint_for_a_statement(chance: Chance) -> Forged:
    """A note that the log's key did sign, of another kind."""
    note = signed_notes.parse_proof(chance.one.facts.proof.tlog).note
    return Forged(placed(chance.one.pdf, note.encode()), NOT_FORMED)


def a_second_statement(chance: Chance) -> Forged:
    """His own beside the genuine one, before or after it."""
    pdf, whole = chance.one.pdf, place(chance.one.pdf).group(0)
    at = chance.draw.choice([*place(pdf).span(0), len(pdf), pdf.index(b"\n") + 1])
    facts = chance.one.facts
    own = place(stated_anew(pdf, facts.number, facts.proof.log)).group(0)
    return Forged(pdf[:at] + chance.draw.choice([own, whole]) + pdf[at:], TWO)


def statement_torn_out(chance: Chance) -> Forged:
    """The genuine statement at another place of the file."""
    found = place(chance.one.pdf)
    rest = chance.one.pdf[: found.start()] + chance.one.pdf[found.end() :]
    at = chance.draw.choice([len(rest), rest.index(b"\n") + 1, chance.draw.randrange(len(rest))])
    return Forged(rest[:at] + found.group(0) + rest[at:], MOVED)


def statement_removed(chance: Chance) -> Forged:
    """Its marks overwritten."""
    pdf = chance.one.pdf.replace(b"<yardproof-statement>", b"<yardproof_statement>")
    return Forged(pdf.replace(b"</yardproof-statement>", b"</yardproof_statement>"), NO_STATEMENT)


def filling_used(chance: Chance) -> Forged:
    """Something in the bytes that no digest covers."""
    pdf = bytearray(chance.one.pdf)
    start, stop = place(chance.one.pdf).span(1)
    first = start + len(statement_of(chance.one.pdf).encode())
    at = chance.draw.randrange(first, stop - 1)
    pdf[at] = chance.draw.choice(b" \0x%\r")
    return Forged(bytes(pdf), NOT_FORMED)


def statement_lengthened(chance: Chance) -> Forged:
    """A byte more or fewer between the marks."""
    stop = place(chance.one.pdf).end(1)
    pdf = chance.one.pdf
    if chance.draw.random() < 0.5:
        return Forged(pdf[:stop] + b"\n" + pdf[stop:], TORN)
    return Forged(pdf[: stop - 1] + pdf[stop:], TORN)


def more_after_the_end(chance: Chance) -> Forged:
    """Any bytes after the end."""
    more = chance.draw.choice([b"\n", b"\0" * 7, b" ", chance.draw.randbytes(9)])
    return Forged(chance.one.pdf + more, ADDED)


def end_cut_off(chance: Chance) -> Forged:
    """The end missing."""
    return Forged(chance.one.pdf[: -chance.draw.randrange(1, 40)], CUT)


MOVES: Final[tuple[Callable[[Chance], Forged], ...]] = (
    painted_by_an_update,
    painted_and_saved,
    painted_with_the_statement_kept,
    a_stream_rewritten_in_place,
    pages_exchanged,
    a_page_taken_out,
    record_of_another,
    record_changed,
    entry_changed,
    built_with_the_code,
    signed_by_himself,
    his_key_inside,
    a_line_for_each_key,
    digest_put_right,
    number_changed,
    statement_of_another,
    a_checkpoint_for_a_statement,
    a_second_statement,
    statement_torn_out,
    statement_removed,
    filling_used,
    statement_lengthened,
    more_after_the_end,
    end_cut_off,
)
