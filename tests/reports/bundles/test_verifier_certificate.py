"""What a buyer finds who checks a certificate without us."""

import hashlib
import json
import zlib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from prep.record.log import canonical_json
from tests.reports.bundles.invented_log import (
    CHOSEN,
    ENTRIES,
    FORGER,
    Log,
    bundle,
    certificate,
    check,
    contents,
    stated,
    with_key,
)


def test_a_certificate_in_a_bundle_proves_its_entry(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """By the record attached to it, and by the event that names its digest."""
    pdf = certificate()
    issued = {"kind": "document.issued", "body": {"digest": hashlib.sha256(pdf).hexdigest()}}
    log = Log([*ENTRIES, canonical_json.encode(issued)])
    payload = contents(log, (*CHOSEN, 13)) | {"certificate.pdf": pdf}
    code, words = check(capsys, *with_key(bundle(tmp_path, payload)))
    assert code == 0
    assert "The certificate's record proves entry 8 of the log of yard.example/log." in words
    assert "The log names this very certificate." in words


def test_a_certificate_that_nothing_proves_is_not_passed_over(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Neither a record attached nor an event that names it: the bag alone proves no origin."""
    code, words = check(
        capsys, *with_key(bundle(tmp_path, contents() | {"certificate.pdf": b"%PDF-1.7 plain"}))
    )
    assert code == 2
    assert "not checked:   The certificate carries no record with a proof of its own." in words


def test_a_bundle_without_a_single_event_proves_none(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Empty files are not "all 0 events hold"."""
    code, words = check(capsys, *with_key(bundle(tmp_path, contents(chosen=()))))
    assert code == 2
    assert "not checked:   The bundle holds no events." in words


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
