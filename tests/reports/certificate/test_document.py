"""What a certificate says and to whom: on paper, to text extractors, to scanners, to machines."""

import hashlib
import json
import re
import subprocess
from io import BytesIO
from pathlib import Path

import pikepdf
import pytest
from pypdf import PdfReader

from prep.record.log import canonical_json, merkle_tree, signed_notes
from prep.record.unit import events as e
from prep.words import verdicts
from prep.words.reader import ENGLISH
from prep.words.unit.limits import limit_text
from prep.words.unit.signatures import meaning
from reports.bundles import verifier
from reports.pdf import statement
from tests.reports import certificates
from tests.reports.certificates import Issued
from tests.reports.pdf_statement import blank, statement_of
from tests.reports.pdf_tools import needs_poppler, needs_zbar, pages_of, run, unspaced

# ISO 216 and ANSI/ASME Y14.1, in points of 1/72 in.
PAPERS = {"A4": (210 / 25.4 * 72, 297 / 25.4 * 72), "Letter": (8.5 * 72, 11 * 72)}
pytestmark = pytest.mark.django_db  # or there is no database for the certificate to come from


def test_the_paper_is_the_one_asked_for(on_paper: tuple[str, bytes]) -> None:
    """Every page of it."""
    paper, pdf = on_paper
    for page in PdfReader(BytesIO(pdf)).pages:
        assert tuple(page.mediabox[2:]) == pytest.approx(PAPERS[paper], abs=0.01)


@needs_poppler
def test_nothing_lies_outside_the_margins(on_paper: tuple[str, bytes], tmp_path: Path) -> None:
    """Every word keeps 10 mm from every edge, which any printer reaches."""
    paper, pdf = on_paper
    width, height = PAPERS[paper]
    words = re.findall(
        r'<word xMin="([\d.-]+)" yMin="([\d.-]+)" xMax="([\d.-]+)" yMax="([\d.-]+)"',
        run(["pdftotext", "-bbox", "PDF", "-"], pdf, tmp_path),
    )
    assert len(words) > 500
    edge = 10 / 25.4 * 72
    for left, top, right, bottom in (map(float, word) for word in words):
        assert left >= edge
        assert right <= width - edge
        assert top >= edge
        assert bottom <= height - edge


@needs_poppler
def test_every_page_says_which_of_how_many_it_is(
    on_paper: tuple[str, bytes], tmp_path: Path
) -> None:
    """Page n of m, and the certificate's number, so that no page gets into another certificate."""
    pages = pages_of(on_paper[1], tmp_path)
    number = record_number(on_paper[1])
    assert len(pages) == len(PdfReader(BytesIO(on_paper[1])).pages) >= 3
    for place, page in enumerate(pages, 1):
        assert f"page{place}of{len(pages)}" in unspaced(page)
        assert number in page


def record_number(pdf: bytes) -> str:
    """The number in the attached record."""
    return str(certificates.record_of_pdf(pdf)["certificate"]["number"])


@needs_poppler
def test_the_first_page_says_what_for_whom_and_by_whom(issued: Issued, tmp_path: Path) -> None:
    """One look: the machine and its serial, the buyer and tractor, who released it and when."""
    first = unspaced(pages_of(issued.pdf, tmp_path)[0])
    for words in (
        "Larkfield TC-12 trailed cutter",
        issued.facts.unit.serial,
        "Fen Farm (invented)",
        "Mira Invented",
        issued.facts.number,
        "△ Accepted out-of-limit (concession) by Mira Invented",
        "Agreed with the maker (invented)",
        "Signed electronically (PIN) as “released”: cleared for delivery",
        "The manufacturer's manual for this serial number comes first",
    ):
        assert unspaced(words) in first


def text_by_poppler(pdf: bytes, folder: Path) -> str:
    """All text, by Poppler."""
    return unspaced("".join(pages_of(pdf, folder)))


def text_by_pypdf(pdf: bytes, _: Path) -> str:
    """All text, by pypdf."""
    return unspaced("".join(page.extract_text() for page in PdfReader(BytesIO(pdf)).pages))


@pytest.mark.parametrize(
    "text_of", [pytest.param(text_by_poppler, marks=needs_poppler), text_by_pypdf]
)
def test_text_extraction_finds_every_reading_with_limit_and_instrument(
    issued: Issued, text_of: object, tmp_path: Path
) -> None:
    """Straight from the log's events, replaced readings included, by two readers of PDF."""
    text = text_of(issued.pdf, tmp_path)  # type: ignore[operator]  # one of the functions above
    replaced = {reading.supersedes for reading in issued.readings} - {""}
    assert (len(issued.readings), len(replaced)) == (7, 1)
    for reading in issued.readings:
        assert unspaced(reading.raw) in text
        assert unspaced(verdicts.word(reading.verdict, ENGLISH)) in text
        if reading.limit:
            assert unspaced(limit_text(reading.limit, ENGLISH)) in text
            assert unspaced(reading.limit.source) in text
        if reading.instrument:
            used = reading.instrument
            for fact in (used.code, used.name, used.serial, used.certificate):
                assert unspaced(fact) in text
    assert "Replacedbecause:slippedoffthebolt" in text
    assert "△Acceptedout-of-limit(concession):Agreedwiththemaker(invented)" in text
    for event in issued.events:
        if isinstance(event, e.StepSigned):
            assert unspaced(meaning(event.meaning, ENGLISH)) in text


@needs_poppler
@needs_zbar
@pytest.mark.parametrize("ink", ["-gray", "-mono"])
def test_the_qr_code_reads_as_the_printed_address(
    on_paper: tuple[str, bytes], ink: str, tmp_path: Path
) -> None:
    """Printed in gray or in bare black and white, and scanned."""
    number = record_number(on_paper[1])
    printed = ["pdftoppm", "-r", "150", ink, "-f", "1", "-l", "1", "-singlefile", "PDF", "page"]
    run(printed, on_paper[1], tmp_path)
    picture = next(tmp_path.glob("page.p[gb]m"))
    scanned = subprocess.run(
        ["zbarimg", "--raw", "-q", str(picture)], check=True, capture_output=True
    ).stdout.decode()
    address = f"http://127.0.0.1:8000/verify/{number}"
    assert scanned == f"{address}\n"
    assert unspaced(address) in unspaced(pages_of(on_paper[1], tmp_path)[0])


def test_the_attached_record_is_the_record(issued: Issued) -> None:
    """Its entries are the unit's in the log up to the release, in canonical JSON, none missing."""
    with pikepdf.open(BytesIO(issued.pdf)) as opened:
        attached = opened.attachments["record.json"].get_file().read_bytes()
    record = json.loads(attached)
    assert canonical_json.encode(record) == attached
    assert record["events"] == [json.loads(json.dumps(one)) for one in issued.envelopes]
    assert json.loads(record["proof"]["entry"]) == record["events"][-1]
    said = [
        answer["typed"]
        for section in record["certificate"]["sections"]
        for step in section["steps"]
        for box in step["boxes"]
        for answer in (box["current"], *box["earlier"])
        if answer["verdict"] != "answered-yes"
    ]
    assert sorted(said) == sorted(reading.raw for reading in issued.readings)


def test_the_attached_record_follows_from_its_proof(issued: Issued) -> None:
    """The entry leads to the signed root (RFC 6962), and the verifier that needs no service agrees.

    One changed character of the proven entry, and it does not.
    """
    record = certificates.record_of_pdf(issued.pdf)
    assert record["proof"]["leaf"] == merkle_tree.leaf_hash(record["proof"]["entry"].encode()).hex()
    findings = verifier.Findings()
    verifier.check_certificate(issued.pdf, issued.digest, list(issued.keys), findings)
    assert (findings.exit_code, len(findings.lines)) == (0, 7)
    record["proof"]["entry"] = record["proof"]["entry"].replace('"buyer"', '"stock"')
    target = BytesIO()
    with pikepdf.open(BytesIO(issued.pdf)) as pdf:
        pdf.attachments["record.json"] = pikepdf.AttachedFileSpec(
            pdf, canonical_json.encode(record)
        )
        pdf.save(target)
    findings = verifier.Findings()
    verifier.check_certificate(target.getvalue(), "", list(issued.keys), findings)
    assert findings.exit_code == 1


def test_the_statement_is_signed_over_the_whole_file(issued: Issued) -> None:
    """Hashed here without the code that wrote it: the file, its statement being zero bytes.

    Its form is a C2SP signed note; a reader of PDF finds it attached.
    """
    keys = [signed_notes.parse_verifier_key(key) for key in issued.keys]
    text = signed_notes.verify_note(statement_of(issued.pdf), keys)
    digest = hashlib.sha256(blank(issued.pdf, b"\0")).hexdigest()
    number, log = issued.facts.number, issued.facts.proof.log
    assert text == (
        f"Yardproof certificate\nlog {log}\ndocument certificate {number}\nfile {digest}\n"
    )
    with pikepdf.open(BytesIO(issued.pdf)) as opened:
        attached = opened.attachments["statement.txt"].get_file().read_bytes()
    assert statement_of(issued.pdf).encode() in attached
    assert attached in issued.pdf  # uncompressed


def test_a_log_whose_name_leaves_no_room_for_the_statement_is_refused(issued: Issued) -> None:
    """In words that say which setting to change; nothing is cut."""
    unsigned = blank(issued.pdf)
    assert statement.stated(unsigned, "x" * 1024) != unsigned
    with pytest.raises(statement.StatementError, match="YARDPROOF_LOG_NAME"):
        statement.stated(unsigned, "x" * 1025)


def test_a_file_without_its_one_place_is_not_stated(issued: Issued) -> None:
    """None, two of them, one cut short."""
    empty = statement.EMPTY
    for pdf in (b"", issued.pdf + empty, empty[:-1], empty.replace(b"\n\n<", b"\n<")):
        with pytest.raises(statement.StatementError, match="exactly one place"):
            statement.digest_of(pdf)
