"""Whatever lies in a bundle, the verifier ends with a sentence: no traceback, no hang."""

import io
import json
import os
import struct
import subprocess
import sys
import zipfile
from pathlib import Path
from time import perf_counter
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from prep.record.log import canonical_json
from reports.bundles import verifier
from tests.reports.bundles.invented_bags import packed
from tests.reports.bundles.invented_log import (
    CHOSEN,
    ENTRIES,
    LOG,
    PUBLISHED,
    UNIT,
    Log,
    bundle,
    certificate,
    check,
    contents,
    event,
    with_key,
)

DIGITS = b"9" * 5000
DEEP = b"[" * 100_000
PARTS = sorted(contents())


def codes(path: Path, *more: object) -> int:
    """The exit code; a traceback fails the test."""
    return verifier.main([str(one) for one in (*with_key(path), *more)])


@pytest.mark.parametrize(
    ("name", "change"),
    [
        ("proof/checkpoint.txt", (b"\n13\n", b"\n" + DIGITS + b"\n")),
        ("proof/inclusion.jsonl", (b'"index":2', b'"index":' + DIGITS)),
        ("proof/inclusion.jsonl", (b'"index":2', b'"index":1e400')),
        ("proof/inclusion.jsonl", (b'"path":[', b'"path":' + DEEP)),
        ("proof/inclusion.jsonl", (b'{"index"', b'{"index":2,"index"')),
        ("events.jsonl", (b'"450"', DEEP)),
        ("events.jsonl", (b'"450"', b"NaN")),
        ("events.jsonl", (b'"450"', DIGITS)),
        ("events.jsonl", (b'"450"', b'"\\ud800"')),
        ("events.jsonl", (b'"450"', b'"\x00"')),
        ("events.jsonl", (b'"450"', b'"\xff"')),
        ("events.jsonl", (b'"450"', b'"' + b"x" * (1 << 22) + b'"')),
        ("events.jsonl", (b'"stream":"unit"', b'"stream":{"a":1}')),
        ("events.jsonl", (b'"version":2', b'"version":2.5')),
        ("events.jsonl", (b'"raw":"450"', b'"raw":"450","raw":"451"')),
        ("readings.csv", (b"450", b'"450')),
        ("readings.csv", (b"450", b"4\x0050")),
        ("readings.csv", (b"450", b"\xff")),
        ("readings.csv", (b"450", b"x" * (1 << 22))),
        ("readings.csv", (b"450", b"1,2")),
        ("readings.csv", (b"unit,serial", b"unit,unit")),
        ("units.csv", (b"Larkfield", b"=1+1")),
        ("proof/keys.txt", (b"+", b"-")),
        ("proof/keys.txt", (b"yard", b"\xff")),
    ],
)
@pytest.mark.parametrize("is_signed", [True, False])
def test_what_no_reader_expects_does_not_hold_and_is_named(
    tmp_path: Path, name: str, change: tuple[bytes, bytes], is_signed: bool
) -> None:
    """Even where the log's keeper himself signed it."""
    payload = contents()
    assert change[0] in payload[name]
    payload[name] = payload[name].replace(*change, 1)
    path = bundle(tmp_path, payload)
    if not is_signed:
        path.write_bytes(path.read_bytes().replace(b"document audit", b"document  audit"))
    findings = verifier.Findings()
    verifier.check_bundle(path, [PUBLISHED], findings)
    assert findings.exit_code == 1
    assert any(
        one.status != verifier.HOLDS and f"data/{name}" in one.file + one.text
        for one in findings.all()
    )
    assert codes(path, "--json") == 1


@pytest.mark.parametrize(
    "change",
    [
        (b"cut 13 ", b"cut " + DIGITS + b" "),
        (b"cut 13 ", b"cut 013 "),
        (b"until -", b"until \xff"),
        (b"log yard", b"log \x00yard"),
        (b"document audit", b"document poem"),
        (b"Yardproof bundle", b"Yardproof certificate"),
        (b" 4\n\n", b" " + DIGITS + b"\n\n"),
        (b"stream unit", b"stream site"),
        (b"stream unit", b"stream  unit"),
    ],
)
def test_a_statement_that_is_none_is_no_statement(
    tmp_path: Path, change: tuple[bytes, bytes]
) -> None:
    """A number of 5,000 digits, another kind of note, a line that no bundle has."""
    path = bundle(tmp_path)
    with zipfile.ZipFile(path) as archive:
        held = {name: archive.read(name) for name in archive.namelist()}
    name = next(name for name in held if name.endswith("/signature.txt"))
    assert change[0] in held[name]
    held[name] = held[name].replace(*change, 1)
    with zipfile.ZipFile(path, "w") as archive:
        for entry, content in held.items():
            archive.writestr(entry, content)
    findings = verifier.Findings()
    verifier.check_bundle(path, [PUBLISHED], findings)
    against = {one.file for one in findings.all() if one.status == verifier.FAILS}
    assert against == {"signature.txt", "bundle.zip"}


json_values: st.SearchStrategy[Any] = st.recursive(
    st.none() | st.booleans() | st.integers(-(2**53) + 1, 2**53 - 1) | st.text(max_size=4),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=4), inner),
    max_leaves=8,
)
KINDS = sorted(verifier._TAKES)
MEMBERS = [
    *("step", "line", "position", "reading", "check", "raw", "verdict"),
    *("limit", "instrument", "remarks", "paper", "answer", "buyer", "tractor"),
    *("model", "options", "reopened", "steps", "flag", "how", "reason"),
    *("concession", "digest", "documents", "meaning", "content", "document_kind", "number"),
    *("handover", "recipient_digest", "wording", "text", "revision"),
]


@settings(max_examples=300)
@given(
    kinds=st.lists(st.sampled_from(KINDS), min_size=1, max_size=5),
    data=st.data(),
)
def test_events_of_any_shape_are_read_or_refused(
    tmp_path_factory: pytest.TempPathFactory, kinds: list[str], data: st.DataObject
) -> None:
    """A log may hold bodies that no version of the service ever wrote."""
    bodies = st.dictionaries(st.sampled_from(MEMBERS), json_values, max_size=8)
    more = [event(5 + n, kind, data.draw(bodies)) for n, kind in enumerate(kinds)]
    log = Log([*ENTRIES, *more])
    chosen = (*CHOSEN, *range(13, 13 + len(more)))
    streams = {("unit", UNIT): len(chosen)}
    path = bundle(tmp_path_factory.mktemp("any"), contents(log, chosen), log=log, streams=streams)
    findings = verifier.Findings()
    verifier.check_bundle(path, [PUBLISHED], findings)
    assert not [one for one in findings.all() if one.code == "not-readable"]
    assert "events-in-log" in {one.code for one in findings.all()}
    path.unlink()


@settings(max_examples=300)
@given(name=st.sampled_from(PARTS), data=st.data())
def test_any_bytes_in_any_file_end_with_a_sentence(
    tmp_path_factory: pytest.TempPathFactory, name: str, data: st.DataObject
) -> None:
    """Put in, taken out or turned, and the bag signed as it then is."""
    payload = contents()
    held = payload[name]
    start = data.draw(st.integers(0, len(held)))
    stop = data.draw(st.integers(start, min(len(held), start + 20)))
    payload[name] = held[:start] + data.draw(st.binary(max_size=20)) + held[stop:]
    path = bundle(tmp_path_factory.mktemp("any"), payload)
    findings = verifier.Findings()
    verifier.check_bundle(path, [PUBLISHED], findings)
    assert findings.exit_code in {0, 1}
    assert path.name not in {one.file for one in findings.all() if one.code == "not-readable"}
    path.unlink()


@settings(max_examples=300)
@given(data=st.data())
def test_any_damage_to_the_zip_ends_with_a_sentence(
    tmp_path_factory: pytest.TempPathFactory, data: st.DataObject
) -> None:
    """Several places at once, most of them in the table at the end."""
    path = bundle(tmp_path_factory.mktemp("zip"))
    held = bytearray(path.read_bytes())
    for _ in range(data.draw(st.integers(1, 6))):
        back = data.draw(st.integers(1, 1500) | st.integers(1, len(held)))
        held[-back] = data.draw(st.integers(0, 255))
    changed = bytes(held) != path.read_bytes()
    path.write_bytes(held)
    findings = verifier.Findings()
    verifier.check_bundle(path, [PUBLISHED], findings)
    assert findings.exit_code == int(changed)
    path.unlink()


def test_overlapping_entries_are_a_bomb(tmp_path: Path) -> None:
    """One stored megabyte listed two hundred times under other names: refused unread."""
    target = io.BytesIO()
    with zipfile.ZipFile(target, "w") as archive:
        archive.writestr("bag/data/x000", bytes(1 << 20))
    held = target.getvalue()
    at = held.index(b"PK\x01\x02")
    entry = held[at : held.index(b"PK\x05\x06")]
    table = b"".join(entry.replace(b"x000", b"x%03d" % n) for n in range(200))
    end = struct.pack("<4sHHHHIIH", b"PK\x05\x06", 0, 0, 200, 200, len(table), at, 0)
    path = tmp_path / "bomb.zip"
    path.write_bytes(held[:at] + table + end)
    with pytest.raises(verifier.CheckError, match="far more than it is"):
        verifier.Files(path)


def test_many_findings_are_counted_not_kept(tmp_path: Path) -> None:
    """A manifest that lists fifty thousand files which are not there."""
    lines = b"".join(b"%064d  data/x%d\n" % (number, number) for number in range(50_000))
    path = bundle(tmp_path)
    with zipfile.ZipFile(path) as archive:
        held = {name: archive.read(name) for name in archive.namelist()}
    with zipfile.ZipFile(path, "w") as archive:
        for name, content in held.items():
            archive.writestr(name, lines if name.endswith("/manifest-sha256.txt") else content)
    findings = verifier.Findings()
    start = perf_counter()
    verifier.check_bundle(path, [PUBLISHED], findings)
    missing = [one for one in findings.all() if one.code == "file-missing"]
    assert (len(missing), sum(one.times for one in missing)) == (verifier.MOST_FINDINGS, 50_000)
    assert perf_counter() - start < 20


def test_a_pipe_is_neither_opened_nor_waited_for(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """In a folder it is named; as an argument it is wrong usage."""
    folder = tmp_path / "bag"
    folder.mkdir()
    os.mkfifo(folder / "pipe")
    code, words = check(capsys, *with_key(folder))
    assert (code, "pipe is a link or a device" in words) == (1, True)
    with pytest.raises(SystemExit) as stop:
        verifier.main([str(folder / "pipe")])
    assert stop.value.code == 3


@pytest.mark.parametrize(
    "content",
    [
        b"c2sp.org/tlog-proof@v1\nextra AA==\nindex " + DIGITS + b"\n\n" + LOG.note.encode(),
        b"c2sp.org/tlog-proof@v1\nextra ????\nindex 1\n\n" + LOG.note.encode(),
        b"c2sp.org/tlog-proof@v1\nindex 1\n\n" + LOG.note.encode(),
        b"c2sp.org/tlog-proof@v1\n",
        b"\xff\x00",
        b"",
    ],
)
def test_a_proof_of_issue_or_consistency_that_is_none_is_refused(
    tmp_path: Path, content: bytes
) -> None:
    """With a sentence, for each place a proof is given in."""
    proof, older = tmp_path / "proof", tmp_path / "older"
    proof.write_bytes(content)
    older.write_text(Log(ENTRIES[:6]).note, encoding="utf-8")
    path = bundle(tmp_path)
    assert codes(path, "--issue", proof) == 1
    assert codes(path, "--older", proof) == 1
    if content:
        assert codes(path, "--older", older, "--proof", proof) == 1


def test_the_findings_for_programs_are_one_line_of_json(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Status, code, file and sentence of each, and every code stands in the one table."""
    code, printed = check(capsys, *with_key(bundle(tmp_path)), "--json")
    [line] = printed.splitlines()
    told = json.loads(line)
    assert (code, told["exit"], told["verdict"]) == (0, 0, verifier.VERDICTS[0])
    for found in told["findings"]:
        assert sorted(found) == ["code", "file", "status", "text", "times"]
        assert found["status"] == verifier.FINDINGS[found["code"]][0]


def test_a_hostile_name_is_shown_and_never_obeyed(tmp_path: Path) -> None:
    """Escape sequences and half characters, on a terminal that knows ASCII only."""
    path = tmp_path / "bag.zip"
    path.write_bytes(packed({"x": b"1"}))
    with zipfile.ZipFile(path, "a") as archive:
        archive.writestr("unit-7/data/\x1b[31m\N{SNOWMAN}", b"x")
    script = Path(verifier.__file__)
    ran = subprocess.run(
        [sys.executable, "-I", str(script), str(path)],
        capture_output=True,
        check=False,
        env={"PYTHONIOENCODING": "ascii", "PATH": os.environ["PATH"]},
    )
    assert (ran.returncode, ran.stderr) == (1, b"")
    assert b"\x1b" not in ran.stdout


def test_a_certificate_of_many_attachments_is_looked_at_for_a_moment_only(tmp_path: Path) -> None:
    """A hundred thousand beginnings of attachments, none with contents."""
    path = tmp_path / "certificate.pdf"
    path.write_bytes(b"%PDF-1.7\n" + b"/Type /EmbeddedFile " * 100_000 + certificate())
    start = perf_counter()
    assert codes(path) in {1, 2}
    assert perf_counter() - start < 10


def test_canonical_numbers_only() -> None:
    """What the service writes is read; what two readers could read in two ways is not."""
    assert verifier.read_json(canonical_json.encode({"a": [1, "1", None, True]}).decode()) == {
        "a": [1, "1", None, True]
    }
    for text in ('{"a":1,"a":2}', "NaN", "[Infinity]", "1" * 20, "0." + "1" * 50):
        with pytest.raises(ValueError, match=r"twice|no number|too long"):
            verifier.read_json(text)
