"""What a buyer finds who checks a certificate without us."""

import hashlib
import json
import time
import zlib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from prep.record.log import signed_notes
from reports.bundles import verifier
from tests.reports.bundles.invented_log import (
    CHOSEN,
    ENTRIES,
    FORGER,
    ORIGIN,
    PUBLISHED,
    UNIT,
    Log,
    bones,
    bundle,
    certificate,
    check,
    contents,
    event,
    stated,
    with_key,
)
from tests.reports.pdf_statement import blank, place

PDF = certificate()
OTHER = certificate(index=3, number="YP-00502")


PLACE = f"certificates/TC00001-{UNIT[:8]}"


def issued(version: int, number: str, content: bytes, kind: str = "certificate") -> bytes:
    """The event that issues a document."""
    digest = hashlib.sha256(content).hexdigest()
    body = {"document_kind": kind, "number": number, "digest": digest}
    return event(version, "document.issued", body)


def test_the_certificates_of_a_bundle_are_those_the_log_issued_for_its_unit(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Each by its number and digest; another's, one left out and one too many are named."""
    first, second = certificate(), certificate(index=12)
    labels = issued(7, "L1", b"labels", "labels")  # lie in no bundle
    log = Log([*ENTRIES, issued(5, "C1", first), issued(6, "C2", second), labels])
    signed: dict[str, Any] = {"log": log, "streams": {("unit", UNIT): 7}}
    whole = contents(log, (*CHOSEN, 13, 14, 15))
    one, two = {f"{PLACE}/C1.pdf": first}, {f"{PLACE}/C2.pdf": second}
    assert check(capsys, *with_key(bundle(tmp_path, whole | one | two, **signed)))[0] == 0
    for payload, words in (
        (whole | one, f"data/{PLACE}/C2.pdf, which an event names, is not in the bundle."),
        (whole, f"data/{PLACE}/C1.pdf, which an event names, is not in the bundle."),
        (
            whole | one | {f"{PLACE}/C2.pdf": first},
            f"data/{PLACE}/C2.pdf is not the file that the log names.",
        ),
        (
            whole | one | two | {f"{PLACE}/C3.pdf": first},
            f"data/{PLACE}/C3.pdf: no event names such a file.",
        ),
    ):
        code, printed = check(capsys, *with_key(bundle(tmp_path, payload, **signed)))
        assert (code, words in printed) == (1, True)


def test_an_altered_event_accuses_no_certificate(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Only the file of events does not hold; what it says of the rest is uncertain, not false."""
    pdf = certificate()
    log = Log([*ENTRIES, issued(5, "C1", pdf)])
    payload = contents(log, (*CHOSEN, 13)) | {f"{PLACE}/C1.pdf": pdf}
    payload["events.jsonl"] = payload["events.jsonl"].replace(b'"450"', b'"455"')
    path = bundle(tmp_path, payload, log=log, streams={("unit", UNIT): 5})
    findings = verifier.Findings()
    verifier.check_bundle(path, [PUBLISHED], findings)
    assert {found.file for found in findings.all() if found.status == verifier.FAILS} == {
        "data/events.jsonl"
    }
    [unsure] = [found for found in findings.all() if found.file.startswith("data/certificates")]
    assert (unsure.code, unsure.status) == ("named-files-unsure", verifier.UNCHECKED)


def test_a_bundle_without_a_single_event_proves_none(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Empty files are not "all 0 events hold"."""
    code, words = check(capsys, *with_key(bundle(tmp_path, contents(chosen=()))))
    assert code == 1
    assert "not checked:   The bundle holds no events." in words
    assert f"DOES NOT HOLD: data/events.jsonl: unit {UNIT} is left out." in words


def of_alone(
    folder: Path, capsys: pytest.CaptureFixture[str], pdf: bytes, *more: object, key: bool = True
) -> tuple[int, str]:
    """Exit code and words for a certificate with nothing beside it."""
    path = folder / "certificate.pdf"
    path.write_bytes(pdf)
    return check(capsys, *(with_key(path) if key else (path,)), *more)


def test_a_certificate_stands_alone(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The file and the published key are enough; the statement names number and log."""
    code, words = of_alone(tmp_path, capsys, PDF)
    assert code == 0
    assert "certificate YP-00481, log of yard.example/log." in words
    assert "The whole file is as it was signed: every page" in words
    assert words.splitlines()[-1] == "Everything holds."


def test_its_digest_is_compared_where_somebody_has_it(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """As the log or the dealership names it."""
    digest = hashlib.sha256(PDF).hexdigest()
    assert of_alone(tmp_path, capsys, PDF, "--digest", digest.upper())[0] == 0
    code, words = of_alone(tmp_path, capsys, PDF, "--digest", "0" * 64)
    assert (code, f"its own is {digest}" in words) == (1, True)


def test_the_key_that_came_in_it_proves_nothing_of_whose_it_is(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A forger's own certificate is flawless under the forger's own key."""
    for pdf in (PDF, certificate(Log(ENTRIES, FORGER))):
        code, words = of_alone(tmp_path, capsys, pdf, key=False)
        assert code == 2
        assert "Whose key it is: it came with the certificate." in words
        assert "DOES NOT HOLD" not in words


CHANGED = "changed after it was signed: a page, its record or something else"
RECORD = {"certificate": {"number": "YP-00481"}, "proof": {}}


def packed(pdf: bytes) -> tuple[int, int]:
    """Where the packed record stands in a certificate."""
    start = pdf.index(b"stream\n") + len(b"stream\n")
    return start, pdf.index(b"\nendstream", start)


def moved() -> bytes:
    """The statement's stream before that of the record."""
    start, stop = PDF.index(b"6 0 obj"), PDF.index(b"%%EOF")
    head = PDF.index(b"5 0 obj")
    return PDF[:head] + PDF[start:stop] + PDF[head:start] + PDF[stop:]


def torn_out() -> bytes:
    """The statement after the end, as if it had always been there."""
    found = place(PDF)
    return PDF[: found.start()] + PDF[found.end() :] + found.group(0)


def with_record_of(other: bytes) -> bytes:
    """The record of one certificate in another."""
    (start, stop), (first, last) = packed(PDF), packed(other)
    return PDF[:start] + other[first:last] + PDF[stop:]


FORGED = {
    "nothing in it": (b"%PDF-1.7 nothing attached", "carries no statement over the whole file"),
    "a byte of a page": (PDF.replace(b"/Size 1", b"/Size 2"), CHANGED),
    "an update appended": (PDF + b"7 0 obj\n<<>>\nendobj\n%%EOF\n", "an update was appended"),
    "bytes after the end": (PDF + b"\n", "bytes were added after its end"),
    "cut off": (PDF[:-3], "its end is missing"),
    "a second statement": (PDF + place(PDF).group(0), "carries two statements"),
    "the statement moved": (moved(), CHANGED),
    "the statement torn out": (torn_out(), "is not where it was written: moved"),
    "the statement lengthened": (
        PDF.replace(b"\n</yardproof-statement>", b"\n\n</yardproof-statement>"),
        "was cut, lengthened or torn apart",
    ),
    "its filling used": (
        PDF.replace(b"\n</yardproof-statement>", b"x</yardproof-statement>"),
        "it is not well formed",
    ),
    "another number": (
        PDF.replace(b"certificate YP-00481", b"certificate YP-00482"),
        "The signature of certificate.pdf (statement) is false",
    ),
    "the statement of another": (
        blank(PDF).replace(place(blank(PDF)).group(0), place(OTHER).group(0)),
        "is of another certificate: YP-00481. This one is YP-00502.",
    ),
    "the record of another": (with_record_of(OTHER), "is of another certificate"),
    "the record replaced": (stated(bones(RECORD), key=FORGER), "is not a tlog-proof"),
    "the record unreadable": (PDF.replace(b"FlateDecode", b"ASCIIHex__"), "cannot be read"),
    "signed by somebody else": (stated(blank(PDF), key=FORGER), "not signed by the key of this"),
    "a note of another kind": (
        stated(blank(PDF), first="Yardproof bundle"),
        "it is not well formed",
    ),
    "of another log": (
        stated(blank(PDF), origin="lard.example/log"),
        "certificate.pdf (statement) is not signed by the key",
    ),
}


@pytest.mark.parametrize(("pdf", "words"), FORGED.values(), ids=FORGED)
def test_each_forgery_is_refused_and_named(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], pdf: bytes, words: str
) -> None:
    """With the published key at hand; without it, none of them holds either."""
    assert pdf != PDF
    code, printed = of_alone(tmp_path, capsys, pdf)
    assert (code, words in printed) == (1, True), printed
    assert of_alone(tmp_path, capsys, pdf, key=False)[0] in {1, 2}


def test_what_is_under_another_key_of_the_log_is_checked_with_it(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A log that changed its key publishes both."""
    second = signed_notes.verifier_key(ORIGIN, FORGER).text
    pdf = stated(blank(PDF), key=FORGER)
    assert of_alone(tmp_path, capsys, pdf, "--key", second)[0] == 0


def without_proof(record: dict[str, Any]) -> dict[str, Any]:
    """Nothing that could be followed."""
    return {**record, "proof": {"key": record["proof"]["key"]}}


def another_entry(record: dict[str, Any]) -> dict[str, Any]:
    """A release that never was."""
    return {**record, "proof": {**record["proof"], "entry": '{"kind":"unit.released"}'}}


def half_a_character(record: dict[str, Any]) -> dict[str, Any]:
    """Text that nobody can hash."""
    return {**record, "proof": {**record["proof"], "entry": "\ud800", "tlog": "\ud800"}}


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (without_proof, "is not a tlog-proof"),
        (half_a_character, "is not a tlog-proof"),
        (another_entry, "is not what the log of yard.example/log holds there"),
        (lambda record: record | {"certificate": "YP-00482"}, "is of another certificate"),
        (lambda record: record | {"proof": [1]}, "is not a tlog-proof"),
        (lambda record: {"certificate": record["certificate"]}, "missing or cannot be read"),
    ],
)
def test_a_record_that_proves_nothing_is_found_although_it_is_signed_for(
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    change: Callable[[dict[str, Any]], dict[str, Any]],
    words: str,
) -> None:
    """The keeper of the log states such a file: nobody has to believe it for that."""
    start, stop = packed(PDF)
    record = json.loads(zlib.decompress(PDF[start:stop]))
    written = bones({})
    first, last = packed(written)
    text = zlib.compress(json.dumps(change(record)).encode())
    code, printed = of_alone(tmp_path, capsys, stated(written[:first] + text + written[last:]))
    assert (code, words in printed) == (1, True)
    assert "The whole file is as it was signed" in printed


def test_without_a_library_for_signatures_the_rest_is_checked(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Never all of it."""
    monkeypatch.setattr(verifier, "HAS_ED25519", False)
    code, words = of_alone(tmp_path, capsys, PDF)
    assert (code, "(statement) was not checked" in words) == (2, True)
    assert of_alone(tmp_path, capsys, PDF + b"\n")[0] == 1


SECONDS = 20  # each takes less than one; anything that is not linear takes hours
HOSTILE = {
    "a thousand files attached": b"%PDF" + b"/Type /EmbeddedFile stream\n{}endstream" * 1000,
    "no stream to any": b"%PDF" + b"/Type /EmbeddedFile obj " * 200_000,
    "a hundred thousand marks": b"%PDF" + b"<yardproof-statement>\n" * 100_000,
    "spaces without end": b"%PDF" + b"/Type" + b" " * 5_000_000,
    "a long number": b'%PDF obj /Type /EmbeddedFile stream\n{"proof":'
    + b"9" * 5_000_000
    + b"}endstream",
    "a deep record": b"%PDF obj /Type /EmbeddedFile stream\n" + b"[" * 100_000 + b"endstream",
    "a long index": stated(
        bones({"proof": {"tlog": f"{verifier.PROOF_HEADER}\nindex {'9' * 9999}\n\nx"}})
    ),
    "a bomb": b"%PDF obj /Type /EmbeddedFile /FlateDecode stream\n"
    + zlib.compress(bytes(200_000_000))
    + b"endstream",
}


@pytest.mark.parametrize("pdf", HOSTILE.values(), ids=HOSTILE)
def test_no_bytes_make_it_fail_or_wait(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], pdf: bytes
) -> None:
    """An answer in words, in time that grows with the file and no faster."""
    begun = time.monotonic()
    code, words = of_alone(tmp_path, capsys, pdf)
    assert (code, "DOES NOT HOLD" in words) == (1, True)
    assert time.monotonic() - begun < SECONDS


@settings(max_examples=300, deadline=None)
@given(st.data())
def test_whatever_is_done_to_its_bytes_is_refused(data: st.DataObject) -> None:
    """Pieces taken out, put in, turned and doubled, with the words that a reader looks for."""
    words = [b"stream\n", b"endstream", b"/Type /EmbeddedFile", b"%%EOF\n", b"/FlateDecode"]
    words += [b"<yardproof-statement>\n", b"</yardproof-statement>\n", b'{"proof":{}}', b"\0"]
    pdf = PDF
    for _ in range(data.draw(st.integers(1, 4))):
        start = data.draw(st.integers(0, len(pdf)))
        stop = data.draw(st.integers(start, min(len(pdf), start + 200)))
        piece = data.draw(st.sampled_from(words) | st.binary(max_size=40))
        pdf = pdf[:start] + piece + pdf[data.draw(st.sampled_from([start, stop])) :]
    findings = verifier.Findings()
    verifier.check_certificate(pdf, "", [PUBLISHED], findings)
    assert findings.exit_code == (0 if pdf == PDF else 1)
    assert "not-readable" not in {found.code for found in findings.all()}


@settings(max_examples=300, deadline=None)
@given(st.binary(max_size=400))
def test_any_bytes_at_all_are_answered_in_words(content: bytes) -> None:
    """A record of anything, packed and not; never a failure of the program's own."""
    for attached in (content, zlib.compress(content)):
        described = b"%PDF-1.7 obj /Type /EmbeddedFile /FlateDecode"
        if attached is content:
            described = b"%PDF-1.7 obj /Type /EmbeddedFile"
        pdf = described + b" stream\n" + attached + b"\nendstream"
        findings = verifier.Findings()
        verifier.check_certificate(pdf, "", [PUBLISHED], findings)
        assert findings.exit_code == 1
        assert "not-readable" not in {found.code for found in findings.all()}


JSON = st.recursive(
    st.none() | st.booleans() | st.integers(-9, 9) | st.text() | st.just(PUBLISHED),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(
            st.sampled_from(["proof", "certificate", "number", "tlog", "entry", "key"]), inner
        )
    ),
    max_leaves=12,
)


@settings(max_examples=300, deadline=None)
@given(JSON)
def test_a_record_of_any_shape_is_answered_in_words(held: object) -> None:
    """Signed for by the keeper himself; with and without a key from outside."""
    pdf = stated(bones({"proof": held, "certificate": held}))
    for keys in ([PUBLISHED], []):
        findings = verifier.Findings()
        verifier.check_certificate(pdf, "", list(keys), findings)
        assert findings.exit_code in {1, 2}
        assert "not-readable" not in {found.code for found in findings.all()}
