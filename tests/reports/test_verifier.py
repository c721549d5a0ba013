"""What a maker or an auditor finds when they check a bundle without us."""

import ast
import base64
import hashlib
import io
import json
import subprocess
import sys
import zipfile
import zlib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
from hypothesis import given, settings
from hypothesis import strategies as st

from prep.record import canonical, notes, tree
from reports.bundles import verifier
from reports.bundles.bag import write_bag

ORIGIN = "yard.example/log"
KEY = Ed25519PrivateKey.from_private_bytes(bytes(range(32)))
FORGER = Ed25519PrivateKey.from_private_bytes(bytes(range(1, 33)))
PUBLISHED = notes.verifier_key(ORIGIN, KEY).text

# An invented unit's events among those of others.
ENTRIES = [
    canonical.encode({"kind": "reading.taken", "version": number, "body": {"value": "450"}})
    for number in range(13)
]
CHOSEN = (2, 3, 8, 12)


class Log:
    """The log after its entries, sealed with `key`; past the third, not for the first time."""

    def __init__(
        self, entries: list[bytes], key: Ed25519PrivateKey = KEY, origin: str = ORIGIN
    ) -> None:
        leaves = [tree.leaf_hash(entry) for entry in entries]
        self.entries, self.key = entries, key
        self.nodes = {
            (level, index): held for level, index, held in tree.appended_nodes(0, leaves, self.at)
        }
        self.root = tree.root(len(entries), self.at)
        previous = len(entries) - 3 if len(entries) > 3 else None
        checkpoint = notes.Checkpoint(origin, len(entries), self.root, previous)
        self.note = notes.sign_note(notes.format_checkpoint(checkpoint), origin, key)

    def at(self, level: int, index: int) -> bytes:
        return self.nodes[level, index]

    def path(self, index: int) -> list[str]:
        return as_text(tree.inclusion_proof(index, len(self.entries), self.at))

    def proof_from(self, older: int) -> str:
        return "\n".join(as_text(tree.consistency_proof(older, len(self.entries), self.at))) + "\n"


def as_text(hashes: list[bytes]) -> list[str]:
    return [base64.b64encode(held).decode() for held in hashes]


LOG = Log(ENTRIES)


def certificate(log: Log = LOG, index: int = 8) -> bytes:
    """The bones of a PDF with a record attached the way PDF writers attach it."""
    path = tree.inclusion_proof(index, len(log.entries), log.at)
    proof = {
        "entry": log.entries[index].decode(),
        "tlog": notes.format_proof(index, path, log.note),
    }
    record = zlib.compress(stated({"certificate": "YP-00481", "proof": proof}, log.key))
    return (
        b"%%PDF-1.7\n5 0 obj\n<< /Type /EmbeddedFile /Filter /FlateDecode /Params << /Size 1 >> "
        b"/Length %d >>\nstream\n%b\nendstream\nendobj\n%%%%EOF\n" % (len(record), record)
    )


def stated(record: dict[str, Any], key: Ed25519PrivateKey = KEY) -> bytes:
    """A record with the statement of the log's keeper at its end."""
    digest = hashlib.sha256(canonical.encode(record)).hexdigest()
    statement = notes.sign_note(f"{ORIGIN}\nrecord {digest}\n", ORIGIN, key)
    return canonical.encode({**record, "statement": statement})


def contents(log: Log = LOG, chosen: tuple[int, ...] = CHOSEN) -> dict[str, bytes]:
    """Payload of a bundle as the service lays it out."""
    places = [{"index": index, "path": log.path(index)} for index in chosen]
    return {
        "events.jsonl": b"".join(log.entries[index] + b"\n" for index in chosen),
        "proof/inclusion.jsonl": b"".join(canonical.encode(place) + b"\n" for place in places),
        "proof/checkpoint.txt": log.note.encode(),
        "proof/keys.txt": PUBLISHED.encode() + b"\n",
    }


def bundle(folder: Path, payload: dict[str, bytes] | None = None) -> Path:
    target = io.BytesIO()
    files = contents() if payload is None else payload
    entries = [(path, lambda held=held: io.BytesIO(held)) for path, held in files.items()]
    write_bag(target, "unit-7", entries, info=[("Bagging-Date", "2026-04-01")])
    path = folder / "bundle.zip"
    path.write_bytes(target.getvalue())
    return path


def check(capsys: pytest.CaptureFixture[str], *arguments: object) -> tuple[int, str]:
    """Exit code and printed words."""
    code = verifier.main([str(argument) for argument in arguments])
    return code, capsys.readouterr().out


def with_key(path: Path) -> tuple[object, ...]:
    return path, "--key", PUBLISHED


# A bundle


def test_a_true_bundle_holds_in_every_respect(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The words a person reads, and exit code 0."""
    assert check(capsys, *with_key(bundle(tmp_path))) == (
        0,
        "holds:         The bundle can be opened.\n"
        "holds:         All 4 files are complete and unchanged.\n"
        "holds:         The ZIP is as it was issued.\n"
        "holds:         The checkpoint can be read: 13 entries in the log of yard.example/log.\n"
        "holds:         The checkpoint is signed with the key of yard.example/log.\n"
        "holds:         All 4 events stand in the log, unchanged.\n"
        "Everything holds.\n",
    )


def test_an_unpacked_bundle_holds_too(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The folder instead of the ZIP."""
    path = bundle(tmp_path)
    zipfile.ZipFile(path).extractall(tmp_path / "here")
    assert check(capsys, *with_key(tmp_path / "here" / "unit-7"))[0] == 0


def test_a_key_that_came_with_the_bundle_is_not_taken_for_granted(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Anybody can sign with a key of his own and enclose it."""
    code, words = check(capsys, bundle(tmp_path))
    assert code == 2
    assert "not checked:   Whose key it is: it came with the bundle." in words
    assert PUBLISHED in words
    forged = Log(ENTRIES, FORGER)
    own_key = notes.verifier_key(ORIGIN, FORGER).text.encode()
    path = bundle(tmp_path, contents(forged) | {"proof/keys.txt": own_key})
    assert check(capsys, path)[0] == 2
    code, words = check(capsys, *with_key(path))
    assert code == 1
    assert "DOES NOT HOLD: The checkpoint is not signed by the key of this log." in words


def test_an_older_and_a_newer_key_may_both_be_given(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """After a change of keys."""
    other = notes.verifier_key(ORIGIN, FORGER).text
    assert check(capsys, *with_key(bundle(tmp_path)), "--key", other)[0] == 0


@pytest.mark.parametrize(
    ("name", "change", "words"),
    [
        ("events.jsonl", (b'"450"', b'"455"'), "Entry 2 is not what the log"),
        ("proof/inclusion.jsonl", (b'"index":3', b'"index":4'), "Entry 4 is not what the log"),
        (
            "proof/inclusion.jsonl",
            (b'"index":3', b'"index":2'),
            "Line 2 of the events is not after the one before it",
        ),
        ("proof/inclusion.jsonl", (b'"index":3', b'"index":13'), "Entry 13 is not what the log"),
        ("proof/inclusion.jsonl", (b'"index":3', b'"index":-1'), "Line 2 of the events is not"),
        ("proof/inclusion.jsonl", (b'"index":3', b'"place":3'), "Line 2 of the events or proofs"),
        ("proof/inclusion.jsonl", (b'"path":["', b'"path":["AAAA'), "not a SHA-256 hash"),
        ("proof/inclusion.jsonl", (b"\n{", b"{"), "Line 1 of the events or proofs"),
        ("events.jsonl", (b"\n", b"\n\n"), "Line 2 of the events or proofs"),
        ("proof/checkpoint.txt", (b"\n13\n", b"\n14\n"), "signature under the checkpoint is false"),
        ("proof/checkpoint.txt", (b"\n13\n", b"\n013\n"), "not origin, size, root and signature"),
        ("proof/checkpoint.txt", (b"\xe2\x80\x94", b"-"), "signature lines are not well formed"),
        ("proof/checkpoint.txt", (b"yard", b"y\xffrd"), "checkpoint.txt is not text"),
    ],
)
def test_a_forged_bundle_is_found_although_its_bag_was_made_anew(
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    name: str,
    change: tuple[bytes, bytes],
    words: str,
) -> None:
    """Every digest of the bag fits; the log's proof does not."""
    payload = contents()
    assert change[0] in payload[name]
    payload[name] = payload[name].replace(*change, 1)
    code, printed = check(capsys, *with_key(bundle(tmp_path, payload)))
    assert code == 1
    assert "All 4 files are complete and unchanged." in printed
    assert words in printed


def test_events_without_proofs_are_found(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """One more event than proofs, and one fewer."""
    payload = contents()
    for events in (payload["events.jsonl"] + b"{}\n", payload["events.jsonl"].split(b"\n", 1)[1]):
        code, words = check(capsys, *with_key(bundle(tmp_path, payload | {"events.jsonl": events})))
        assert code == 1
        assert "DOES NOT HOLD" in words


@pytest.mark.parametrize(
    "missing", ["events.jsonl", "proof/inclusion.jsonl", "proof/checkpoint.txt", "proof/keys.txt"]
)
def test_what_is_not_in_the_bundle_is_reported_as_not_checked(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], missing: str
) -> None:
    """A bag without a proof is no proof; its files are checked all the same."""
    payload = contents()
    del payload[missing]
    code, words = check(capsys, bundle(tmp_path, payload))
    assert code == 2
    assert f"not checked:   data/{missing} is not in the bundle." in words
    assert "All 3 files are complete and unchanged." in words


def test_without_the_signature_package_everything_else_is_checked(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A plain Python says what it could not check, and still finds a changed event."""
    monkeypatch.setattr(verifier, "HAS_ED25519", False)
    code, words = check(capsys, *with_key(bundle(tmp_path)))
    assert code == 2
    assert "this Python lacks the package `cryptography`" in words
    assert "All 4 events stand in the log, unchanged." in words
    changed = contents()
    changed["events.jsonl"] = changed["events.jsonl"].replace(b"450", b"451", 1)
    assert check(capsys, *with_key(bundle(tmp_path, changed)))[0] == 1


@settings(max_examples=60, deadline=None)
@given(st.data())
def test_any_changed_byte_of_a_bundle_is_found(
    tmp_path_factory: pytest.TempPathFactory, data: st.DataObject
) -> None:
    """Anywhere in the ZIP, to any value; the untouched bundle passes above."""
    folder = tmp_path_factory.mktemp("bundle")
    path = bundle(folder, contents() | {"certificate.pdf": certificate()})
    content = bytearray(path.read_bytes())
    content[data.draw(st.integers(0, len(content) - 1))] ^= data.draw(st.integers(1, 255))
    path.write_bytes(content)
    findings = verifier.Findings()
    verifier.check_bundle(path, [PUBLISHED], findings)
    assert findings.exit_code == 1
    path.unlink()


# An older checkpoint that somebody kept


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
    path = bundle(tmp_path, contents(rewritten))
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


@settings(max_examples=60, deadline=None)
@given(st.integers(1, 40), st.data())
def test_the_verifier_agrees_with_the_log_on_every_proof(size: int, data: st.DataObject) -> None:
    """Two separate readings of RFC 6962: what one proves, the other accepts; one bit off, not."""
    log = Log([str(number).encode() for number in range(size)])
    index, older = data.draw(st.integers(0, size - 1)), data.draw(st.integers(1, size))
    checkpoint = verifier.read_checkpoint(log.note)
    path = tree.inclusion_proof(index, size, log.at)
    verifier.check_inclusion(index, log.entries[index], path, checkpoint)
    with pytest.raises(verifier.FaultError):
        verifier.check_inclusion(index, log.entries[index] + b"!", path, checkpoint)
    kept = verifier.read_checkpoint(Log(log.entries[:older]).note)
    proof = tree.consistency_proof(older, size, log.at)
    verifier.check_consistency(kept, checkpoint, proof)
    with pytest.raises(verifier.FaultError):
        verifier.check_consistency(kept._replace(root=bytes(32)), checkpoint, proof)
    with pytest.raises(verifier.FaultError):
        verifier.check_consistency(kept, checkpoint, [*proof, bytes(32)])


# A certificate


def test_a_certificate_in_a_bundle_proves_its_entry(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """By the record attached to it, and by the event that names its digest."""
    pdf = certificate()
    issued = {"kind": "document.issued", "body": {"digest": hashlib.sha256(pdf).hexdigest()}}
    log = Log([*ENTRIES, canonical.encode(issued)])
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
    changed = zlib.compress(canonical.encode(change(record)))
    path = tmp_path / "certificate.pdf"
    path.write_bytes(pdf[:start] + changed + b"\nendstream\nendobj\n")
    code, printed = check(capsys, *with_key(path))
    assert (code, words in printed) == (1, True)


# The command


@pytest.mark.parametrize("arguments", [[], ["--nonsense"], ["nowhere.zip"]])
def test_wrong_usage_ends_with_3(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    """So that a script can tell it from a bundle that does not hold."""
    with pytest.raises(SystemExit) as stop:
        verifier.main(arguments)
    assert stop.value.code == 3
    assert "usage:" in capsys.readouterr().err


@pytest.mark.parametrize(
    "content",
    [b"", b"PK", b"PK\x03\x04 not a zip", b"\xff\xfe", b"a\nb\nc\n", b"a\n1\nAAAA\n\nx\n"],
)
def test_a_file_of_another_kind_does_not_hold(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], content: bytes
) -> None:
    """A sentence, not a traceback."""
    path = tmp_path / "what"
    path.write_bytes(content)
    code, words = check(capsys, *with_key(path))
    assert code == 1
    assert "DOES NOT HOLD" in words


@pytest.mark.parametrize(
    "key", ["", "x", "a+b+c", PUBLISHED[:-1], PUBLISHED.replace("yard", "lard"), PUBLISHED + "\x1b"]
)
def test_a_key_copied_wrong_is_named(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], key: str
) -> None:
    """Nothing in it reaches the terminal as a command."""
    code, words = check(capsys, bundle(tmp_path), "--key", key)
    assert code == 1
    assert "This is not" in words
    assert "\x1b" not in words


def test_the_verifier_needs_nothing_but_python(tmp_path: Path) -> None:
    """It imports the standard library, and one package that may be missing."""
    source = Path(verifier.__file__)
    imported = set()
    for node in ast.walk(ast.parse(source.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            imported |= {name.name.split(".")[0] for name in node.names}
        elif isinstance(node, ast.ImportFrom):
            imported.add(str(node.module).split(".")[0])
    assert imported - set(sys.stdlib_module_names) == {"cryptography"}


def test_the_file_runs_alone_on_a_bare_python(tmp_path: Path) -> None:
    """Copied out of the project, isolated from every installed package."""
    script = tmp_path / "verifier.py"
    script.write_bytes(Path(verifier.__file__).read_bytes())
    path = bundle(tmp_path)
    command = [sys.executable, "-I", "-S", str(script), str(path), "--key", PUBLISHED]
    ran = subprocess.run(command, capture_output=True, text=True, check=False)
    assert (ran.returncode, ran.stderr) == (2, "")
    assert "All 4 events stand in the log, unchanged." in ran.stdout
    assert "this Python lacks the package `cryptography`" in ran.stdout
    assert ran.stdout.splitlines()[-1] == verifier.VERDICTS[2]


def test_deep_nesting_in_an_event_is_a_sentence_not_a_crash(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A hundred thousand brackets where an event should stand."""
    payload: dict[str, Any] = contents()
    payload["events.jsonl"] = b"[" * 100_000 + b"\n" + payload["events.jsonl"].split(b"\n", 1)[1]
    code, words = check(capsys, *with_key(bundle(tmp_path, payload)))
    assert code == 1
    assert "Line 1 of the events or proofs is not readable." in words


def in_parts() -> dict[str, bytes]:
    """The same events two files to a kind, as large bundles have them."""
    whole = contents()
    parts = dict(whole)
    for name in ("events.jsonl", "proof/inclusion.jsonl"):
        lines = whole[name].splitlines(keepends=True)
        stem, _, ending = name.rpartition(".")
        parts[name] = b"".join(lines[:1])
        parts[f"{stem}-2.{ending}"] = b"".join(lines[1:2])
        parts[f"{stem}-3.{ending}"] = b"".join(lines[2:])
    return parts


def test_events_in_several_files_are_read_as_one(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """All four are counted; without the second part the count of proofs does not fit."""
    code, printed = check(capsys, *with_key(bundle(tmp_path, in_parts())))
    assert code == 0
    assert "All 4 events stand in the log, unchanged." in printed
    payload = in_parts()
    del payload["events-2.jsonl"]
    code, printed = check(capsys, *with_key(bundle(tmp_path, payload)))
    assert code == 1
    assert "There are not as many events as proofs." in printed


def test_photographs_and_certificates_are_those_the_log_names(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """One whose digest no event holds is found, although its bag was made anew."""
    photo = b"an invented photograph"
    digest = hashlib.sha256(photo).hexdigest()
    log = Log([*ENTRIES, canonical.encode({"kind": "photo.attached", "body": {"digest": digest}})])
    payload = contents(log, (*CHOSEN, 13)) | {"photos/u/001.jpg": photo}
    code, printed = check(capsys, *with_key(bundle(tmp_path, payload)))
    assert code == 0
    assert "The log names all 1 photographs and certificates." in printed
    payload["certificates/x.pdf"] = b"slipped in"
    code, printed = check(capsys, *with_key(bundle(tmp_path, payload)))
    assert code == 1
    assert "data/certificates/x.pdf is not the file that the log names." in printed
