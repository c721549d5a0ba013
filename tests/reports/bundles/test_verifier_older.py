"""What somebody finds who kept an older checkpoint."""

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from prep.record.log import merkle_tree
from reports.bundles import verifier
from tests.reports.bundles.invented_log import (
    ENTRIES,
    FORGER,
    LOG,
    Log,
    bundle,
    check,
    contents,
    with_key,
)


@pytest.fixture
def kept(tmp_path: Path) -> tuple[Path, Path]:
    """A checkpoint of 6 entries and the proof from it to the present log."""
    older, proof = tmp_path / "older.txt", tmp_path / "proof.txt"
    older.write_text(Log(ENTRIES[:6]).note, encoding="utf-8")
    proof.write_text(LOG.proof_from(6), encoding="utf-8")
    return older, proof


def test_a_log_that_only_grew_holds_against_an_older_checkpoint(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], kept: tuple[Path, Path]
) -> None:
    """From a bundle, and from a checkpoint alone."""
    newer = tmp_path / "newer.txt"
    newer.write_text(LOG.note, encoding="utf-8")
    for what in (bundle(tmp_path), newer):
        code, words = check(capsys, *with_key(what), "--older", kept[0], "--proof", kept[1])
        assert code == 0
        assert "The log still holds all 6 entries of the older checkpoint." in words


def test_a_log_whose_past_was_rewritten_is_found(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], kept: tuple[Path, Path]
) -> None:
    """The log's keeper himself changed entry 4, signed anew and made the best proof he could."""
    rewritten = Log([*ENTRIES[:4], b"another reading", *ENTRIES[5:]])
    kept[1].write_text(rewritten.proof_from(6), encoding="utf-8")
    path = bundle(tmp_path, contents(rewritten), log=rewritten)
    assert check(capsys, *with_key(path))[0] == 0
    code, words = check(capsys, *with_key(path), "--older", kept[0], "--proof", kept[1])
    assert code == 1
    assert "The log of 13 entries does not continue the one of 6" in words


@pytest.mark.parametrize(
    ("older", "proof", "code"),
    [
        (LOG, "", 0),  # the same checkpoint needs no proof
        (Log([*ENTRIES[:12], b"another reading"]), "", 1),  # two logs of one size
        (Log(ENTRIES[:6], origin="other.example/log"), LOG.proof_from(6), 1),
        (Log(ENTRIES[:6], FORGER), LOG.proof_from(6), 1),
        (Log(ENTRIES[:6]), "", 1),
        (Log(ENTRIES[:6]), LOG.proof_from(6) + LOG.proof_from(6), 1),
        (Log(ENTRIES[:6]), LOG.proof_from(7), 1),
        (Log(ENTRIES[:8]), LOG.proof_from(8), 0),
        (Log([]), LOG.proof_from(1), 1),
    ],
)
def test_other_older_checkpoints(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], older: Log, proof: str, code: int
) -> None:
    """Equal, contradicting, of another log, by another key, with a wrong proof, or of nothing."""
    (tmp_path / "older.txt").write_text(older.note, encoding="utf-8")
    (tmp_path / "proof.txt").write_text(proof, encoding="utf-8")
    given = ("--older", tmp_path / "older.txt", "--proof", tmp_path / "proof.txt")
    assert check(capsys, *with_key(bundle(tmp_path)), *given)[0] == code


def test_an_older_checkpoint_without_its_proof_is_not_checked(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], kept: tuple[Path, Path]
) -> None:
    """And the person is told what to ask for."""
    code, words = check(capsys, *with_key(bundle(tmp_path)), "--older", kept[0])
    assert code == 2
    assert "The older checkpoint needs its consistency proof; give --proof." in words


@settings(max_examples=60)
@given(st.integers(1, 40), st.data())
def test_the_verifier_agrees_with_the_log_on_every_proof(size: int, data: st.DataObject) -> None:
    """Two separate readings of RFC 6962: what one proves, the other accepts; one bit off, not."""
    log = Log([str(number).encode() for number in range(size)])
    index, older = data.draw(st.integers(0, size - 1)), data.draw(st.integers(1, size))
    checkpoint = verifier.read_checkpoint(log.note)
    path = merkle_tree.inclusion_proof(index, size, log.at)
    assert verifier.is_included(index, log.entries[index], path, checkpoint)
    assert not verifier.is_included(index, log.entries[index] + b"!", path, checkpoint)
    kept = verifier.read_checkpoint(Log(log.entries[:older]).note)
    proof = merkle_tree.consistency_proof(older, size, log.at)
    verifier.check_consistency(kept, checkpoint, proof)
    with pytest.raises(verifier.CheckError):
        verifier.check_consistency(kept._replace(root=bytes(32)), checkpoint, proof)
    with pytest.raises(verifier.CheckError):
        verifier.check_consistency(kept, checkpoint, [*proof, bytes(32)])
