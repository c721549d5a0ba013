"""Certificates, kept checkpoints and proofs of issue: verify.html says what verifier.py says."""

import hashlib
import random
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page

from prep.record.log import merkle_tree, signed_notes
from reports.bundles import verifier
from tests.pages.browser import CHROMIUM
from tests.reports.bundles.html_verifier import (
    agree,
    chosen,
    files_in,
    page,
)
from tests.reports.bundles.invented_log import (
    ENTRIES,
    LOG,
    NAME,
    OTHER,
    PUBLISHED,
    Log,
    bundle,
    contents,
    event,
)

__all__ = ["page"]

pytestmark = [
    pytest.mark.browser,
    pytest.mark.skipif(not CHROMIUM.exists(), reason="needs Chromium at /usr/bin/chromium"),
]


@pytest.mark.django_db  # has the tables made, which the certificate is made from
def test_certificates_alone_are_found_alike(
    page: Page, tmp_path: Path, capsys: pytest.CaptureFixture[str], issued: Any
) -> None:
    """True, painted over, cut, lengthened, its statement gone, doubled, moved."""
    path, key = tmp_path / "certificate.pdf", issued.keys[0]
    path.write_bytes(issued.pdf)
    assert agree(page, capsys, path, key=key)[0] == 0
    assert agree(page, capsys, path, key=key, digest=issued.digest)[0] == 0
    assert agree(page, capsys, path, key=key, digest="0" * 64)[0] == 1
    assert agree(page, capsys, path, key="")[0] == 2
    assert agree(page, capsys, path, key=PUBLISHED)[0] == 1
    pdf, mark = issued.pdf, b"<yardproof-statement>"
    for changed in (
        pdf + b" ",
        pdf + pdf,
        pdf[:-40],
        pdf[: len(pdf) // 2],
        pdf.replace(mark, b"<yardproof-statament>"),
        pdf.replace(mark, b"<yardproof-statement>\n<yardproof-statement>"),
        pdf.replace(b"document certificate C", b"document certificate D"),
        pdf.replace(b"/EmbeddedFile", b"/EmbeddedFolk"),
        pdf.replace(b"endstream", b"enddream"),
        b"%PDF-1.7 nothing",
        b"%PDF" + b"/Type /EmbeddedFile stream\n" * 2000,
    ):
        path.write_bytes(changed)
        assert agree(page, capsys, path, key=key)[0] == 1
    chance = random.Random(3)
    for _ in range(20):
        place = chance.randrange(5, len(pdf))
        path.write_bytes(pdf[:place] + bytes([pdf[place] ^ 1]) + pdf[place + 1 :])
        assert chosen(page, path, key=key)["exit"] == 1, place


def test_checkpoints_that_were_kept_are_held_to_the_newer(
    page: Page, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """With its proof, without, and of a log whose past was rewritten."""
    older, proof, path = tmp_path / "older.txt", tmp_path / "proof.txt", bundle(tmp_path)
    older.write_text(Log(ENTRIES[:6]).note, encoding="utf-8")
    proof.write_text(LOG.proof_from(6), encoding="utf-8")
    with_older = ("--older", str(older))
    with_proof = (*with_older, "--proof", str(proof))
    assert agree(page, capsys, path, *with_proof, more=(older, proof))[0] == 0
    assert agree(page, capsys, path, *with_older, more=(older,))[0] == 2
    rewritten = Log([*ENTRIES[:4], b"another reading", *ENTRIES[5:]])
    path = bundle(tmp_path, contents(rewritten), log=rewritten)
    assert agree(page, capsys, path, *with_proof, more=(older, proof))[0] == 1
    newer = tmp_path / "newer.txt"
    newer.write_text(LOG.note, encoding="utf-8")
    assert agree(page, capsys, newer, *with_proof, more=(older, proof))[0] == 0


def test_an_empty_file_is_never_half_an_all_clear(
    page: Page, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A download that was cut at its first byte, and a proof without what it proves."""
    for content in ("", " \n", "AAAA\n"):
        path = tmp_path / "download"
        path.write_text(content, encoding="utf-8")
        assert verifier.main([str(path), "--key", PUBLISHED]) == 1
        capsys.readouterr()
        assert chosen(page, path, key=PUBLISHED)["exit"] == 1


def test_a_proof_of_issue_is_held_to_its_bundle(
    page: Page, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The one of this very file; of another number, another file; cut short."""
    path, proof = bundle(tmp_path), tmp_path / "bundle.tlog-proof"
    body = {
        "document_kind": "audit",
        "number": NAME.removeprefix("audit-"),
        "digest": hashlib.sha256(path.read_bytes()).hexdigest(),
        "bag": hashlib.sha256(files_in(path)[f"{NAME}/tagmanifest-sha256.txt"]).hexdigest(),
    }
    others: tuple[dict[str, str], ...] = ({"digest": "0" * 64}, {"number": "A1"}, {})
    for other in others:
        issued = event(1, "document.issued", {**body, **other}, OTHER)
        log = Log([*ENTRIES, issued])
        hashes = merkle_tree.inclusion_proof(len(ENTRIES), len(ENTRIES) + 1, log.at)
        text = signed_notes.format_proof(len(ENTRIES), hashes, log.note, issued)
        proof.write_text(text, encoding="utf-8")
        code, codes = agree(page, capsys, path, "--issue", str(proof), more=(proof,))
        assert (code, "issue-proven" in codes) == ((1, False) if other else (0, True))
    proof.write_text(text[:300], encoding="utf-8")
    assert agree(page, capsys, path, "--issue", str(proof), more=(proof,))[0] == 1
