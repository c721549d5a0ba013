"""What a maker or an auditor finds when they check a bundle without us."""

import hashlib
import zipfile
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
    NAME,
    ORIGIN,
    PUBLISHED,
    UNIT,
    Log,
    bundle,
    check,
    contents,
    event,
    in_parts,
    with_key,
)


def test_a_true_bundle_holds_in_every_respect(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The words a person reads, and exit code 0."""
    assert check(capsys, *with_key(bundle(tmp_path))) == (
        0,
        "holds:         The bundle can be opened.\n"
        "holds:         All 10 files are complete and unchanged.\n"
        "holds:         The ZIP is as it was issued.\n"
        "holds:         This is audit A00000000001, as of the first 13 entries of the log.\n"
        "holds:         The bundle is signed with the key of yard.example/log.\n"
        "holds:         The files are those that signature.txt names.\n"
        "holds:         The checkpoint can be read: 13 entries in the log of yard.example/log.\n"
        "holds:         The checkpoint is signed with the key of yard.example/log.\n"
        "holds:         All 4 events stand in the log, unchanged.\n"
        "holds:         No event is left out (streams: 1).\n"
        "holds:         Every photo and certificate is the one that the log names (0).\n"
        "holds:         data/units.csv says what the events say (rows: 1).\n"
        "holds:         data/readings.csv says what the events say (rows: 1).\n"
        "holds:         data/sign_offs.csv says what the events say (rows: 0).\n"
        "holds:         data/flags.csv says what the events say (rows: 0).\n"
        "holds:         Bound by the key alone, for the log says nothing of it: README.txt, "
        "bag-info.txt, verifier.py, verify.html, data/index.html, data/findings.csv, "
        "data/units.csv (state), data/readings.csv (section, title, asked, limit, remarks of "
        "readings), data/sign_offs.csv (title, meaning), data/flags.csv (flag, how).\n"
        "note:          The dealership's service recomputes everything from its log, also what is "
        "bound here by the key alone.\n"
        "note:          Whether whoever has the key wrote the whole log anew shows only by a "
        "checkpoint kept elsewhere (--older). Whether this document was withdrawn or replaced "
        "since, only the dealership can tell: look its number up there.\n"
        "Everything holds.\n",
    )


def test_an_unpacked_bundle_holds_too(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The folder instead of the ZIP."""
    path = bundle(tmp_path)
    zipfile.ZipFile(path).extractall(tmp_path / "here")
    assert check(capsys, *with_key(tmp_path / "here" / NAME))[0] == 0


def test_a_key_that_came_with_the_bundle_is_not_taken_for_granted(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Anybody can sign with a key of his own and enclose it."""
    code, words = check(capsys, bundle(tmp_path))
    assert code == 2
    assert "not checked:   Whose key it is: it came with the bundle." in words
    assert PUBLISHED in words
    forged = Log(ENTRIES, FORGER)
    path = bundle(tmp_path, contents(forged), log=forged)
    assert check(capsys, path)[0] == 2
    code, words = check(capsys, *with_key(path))
    assert code == 1
    for file in ("signature.txt", "data/proof/checkpoint.txt"):
        assert f"DOES NOT HOLD: {file} is not signed by the key of this log." in words


def test_an_older_and_a_newer_key_may_both_be_given(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """After a change of keys."""
    other = signed_notes.verifier_key(ORIGIN, FORGER).text
    assert check(capsys, *with_key(bundle(tmp_path)), "--key", other)[0] == 0


@pytest.mark.parametrize(
    ("name", "change", "words"),
    [
        ("events.jsonl", (b'"450"', b'"455"'), "Line 2 of data/events.jsonl is not what the log"),
        (
            "proof/inclusion.jsonl",
            (b'"index":3', b'"index":4'),
            "log of yard.example/log holds as entry 4",
        ),
        (
            "proof/inclusion.jsonl",
            (b'"index":3', b'"index":2'),
            "Line 2 of data/events.jsonl is not after the one before it",
        ),
        (
            "proof/inclusion.jsonl",
            (b'"index":3', b'"index":13'),
            "log of yard.example/log holds as entry 13",
        ),
        (
            "proof/inclusion.jsonl",
            (b'"index":3', b'"index":-1'),
            "Line 2 of data/events.jsonl is not after",
        ),
        (
            "proof/inclusion.jsonl",
            (b'"index":3', b'"place":3'),
            "Line 2 of data/proof/inclusion.jsonl is not readable",
        ),
        (
            "proof/inclusion.jsonl",
            (b'"path":["', b'"path":["AAAA'),
            "Line 1 of data/proof/inclusion.jsonl is not readable",
        ),
        (
            "proof/inclusion.jsonl",
            (b"\n{", b"{"),
            "Line 1 of data/proof/inclusion.jsonl is not readable",
        ),
        ("events.jsonl", (b"\n", b"\n\n"), "Line 2 of data/events.jsonl is not readable"),
        (
            "proof/checkpoint.txt",
            (b"\n13\n", b"\n14\n"),
            "The signature of data/proof/checkpoint.txt is false",
        ),
        ("proof/checkpoint.txt", (b"\n13\n", b"\n013\n"), "not origin, size, root and signature"),
        (
            "proof/checkpoint.txt",
            (b"\xe2\x80\x94", b"-"),
            "is not text with signature lines under it",
        ),
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
    assert "All 10 files are complete and unchanged." in printed
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
def test_what_is_not_in_the_bundle_is_named(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], missing: str
) -> None:
    """A bag without a proof is no proof, even if it was signed so; its files are checked still."""
    payload = contents()
    del payload[missing]
    code, words = check(capsys, *with_key(bundle(tmp_path, payload)))
    assert code == 1
    assert f"DOES NOT HOLD: data/{missing} is not in the bundle." in words
    assert "All 9 files are complete and unchanged." in words


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


@settings(max_examples=60)
@given(st.data())
def test_any_changed_byte_of_a_bundle_is_found(
    tmp_path_factory: pytest.TempPathFactory, data: st.DataObject
) -> None:
    """Anywhere in the ZIP, to any value; the untouched bundle passes above."""
    folder = tmp_path_factory.mktemp("bundle")
    path = bundle(folder)
    content = bytearray(path.read_bytes())
    content[data.draw(st.integers(0, len(content) - 1))] ^= data.draw(st.integers(1, 255))
    path.write_bytes(content)
    findings = verifier.Findings()
    verifier.check_bundle(path, [PUBLISHED], findings)
    assert findings.exit_code == 1
    path.unlink()


def test_deep_nesting_in_an_event_is_a_sentence_not_a_crash(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A hundred thousand brackets where an event should stand."""
    payload: dict[str, Any] = contents()
    payload["events.jsonl"] = b"[" * 100_000 + b"\n" + payload["events.jsonl"].split(b"\n", 1)[1]
    code, words = check(capsys, *with_key(bundle(tmp_path, payload)))
    assert code == 1
    assert "Line 1 of data/events.jsonl is not readable." in words


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
    assert "There are not as many events in data/events.jsonl as proofs of them." in printed


def test_photographs_and_certificates_are_those_the_log_names(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """One whose digest no event holds is found, although its bag was made anew."""
    photo = b"an invented photograph"
    body = {"digest": hashlib.sha256(photo).hexdigest(), "step": "pitch", "name": "a.jpg"}
    attached = event(5, "photo.attached", body)
    log, folder = Log([*ENTRIES, attached]), f"photos/TC00001-{UNIT[:8]}"
    payload = contents(log, (*CHOSEN, 13)) | {f"{folder}/001-pitch.jpg": photo}
    signed: dict[str, Any] = {"log": log, "streams": {("unit", UNIT): 5}}
    code, printed = check(capsys, *with_key(bundle(tmp_path, payload, **signed)))
    assert code == 0
    assert "Every photo and certificate is the one that the log names (1)." in printed
    for change, words in (
        ({"certificates/x.pdf": b"slipped in"}, "certificates/x.pdf: no event names such a file."),
        ({f"{folder}/001-pitch.jpg": b"x"}, "001-pitch.jpg is not the file that the log names."),
        ({f"{folder}/002-pitch.jpg": photo}, "002-pitch.jpg: no event names such a file."),
        ({f"{folder}/001-deck.jpg": photo}, "001-deck.jpg: no event names such a file."),
    ):
        changed = payload | change
        code, printed = check(capsys, *with_key(bundle(tmp_path, changed, **signed)))
        assert code == 1
        assert words in printed
    del payload[f"{folder}/001-pitch.jpg"]
    code, printed = check(capsys, *with_key(bundle(tmp_path, payload, **signed)))
    assert code == 1
    assert f"data/{folder}/001-pitch.jpg, which an event names, is not in the bundle." in printed
    left_out = (("Left-Out", "photos, certificates"),)
    assert check(capsys, *with_key(bundle(tmp_path, payload, info=left_out, **signed)))[0] == 0
