"""What a buyer finds who checks a certificate without us."""

import hashlib
import json
import zlib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from prep.record.log import canonical_json
from reports.bundles import verifier
from tests.reports.bundles.invented_log import (
    CHOSEN,
    ENTRIES,
    FORGER,
    PUBLISHED,
    UNIT,
    Log,
    bundle,
    certificate,
    check,
    contents,
    event,
    stated,
    with_key,
)

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


def test_a_certificate_alone_is_held_against_its_digest(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Right, unknown and wrong digest."""
    path = tmp_path / "certificate.pdf"
    path.write_bytes(certificate())
    digest = hashlib.sha256(certificate()).hexdigest()
    assert check(capsys, *with_key(path), "--digest", digest)[0] == 0
    code, words = check(capsys, *with_key(path))
    assert (code, f"with the one the dealership names: {digest}" in words) == (2, True)
    assert check(capsys, *with_key(path), "--digest", "0" * 64)[0] == 1
    assert check(capsys, path, "--digest", digest)[0] == 2  # no key


@pytest.mark.parametrize(
    ("pdf", "code", "words"),
    [
        (b"%PDF-1.7 nothing attached", 2, "carries no record with a proof"),
        (certificate().replace(b"FlateDecode", b"ASCIIHex"), 1, "is damaged: it cannot be read"),
        (certificate(Log(ENTRIES, FORGER)), 1, "not signed by the key of this log"),
    ],
)
def test_a_certificate_without_a_true_record_is_found(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], pdf: bytes, code: int, words: str
) -> None:
    """None attached, an unreadable one, one sealed by somebody else."""
    path = tmp_path / "certificate.pdf"
    path.write_bytes(pdf)
    digest = hashlib.sha256(pdf).hexdigest()
    found, printed = check(capsys, *with_key(path), "--digest", digest)
    assert (found, words in printed) == (code, True)


def without_proof(record: dict[str, Any]) -> dict[str, Any]:
    """The keeper himself states a record that proves nothing."""
    found: dict[str, Any] = json.loads(stated({"certificate": record["certificate"]}))
    return found


def signed_by_a_stranger(record: dict[str, Any]) -> dict[str, Any]:
    """Somebody else states it."""
    kept = {name: value for name, value in record.items() if name != "statement"}
    found: dict[str, Any] = json.loads(stated(kept, FORGER))
    return found


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda record: record | {"certificate": "YP-00482"}, "was changed since it was signed"),
        (lambda record: record | {"statement": 1}, "does not end with its statement"),
        (lambda record: {**record, "unit": 1}, "does not end with its statement"),
        (lambda record: {"proof": record["proof"]}, "does not end with its statement"),
        (without_proof, "is not a tlog-proof"),
        (signed_by_a_stranger, "not signed by the key of this log"),
    ],
)
def test_a_record_changed_beside_its_proof_is_found(
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    change: Callable[[dict[str, Any]], dict[str, Any]],
    words: str,
) -> None:
    """The proof of the release stays true; the statement over the whole record does not."""
    pdf = certificate()
    start = pdf.index(b"stream\n") + len(b"stream\n")
    record = json.loads(zlib.decompressobj().decompress(pdf[start:]))
    changed = zlib.compress(canonical_json.encode(change(record)))
    path = tmp_path / "certificate.pdf"
    path.write_bytes(pdf[:start] + changed + b"\nendstream\nendobj\n")
    code, printed = check(capsys, *with_key(path))
    assert (code, words in printed) == (1, True)
