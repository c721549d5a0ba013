"""What a file is: one that was issued, one that was altered, or none of ours; within limits."""

import io
import sys
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from prep.actions import sealing
from prep.record.refusal import Refusal
from prep.words.reader import ENGLISH
from reports import queue
from reports.bundles import verifier
from reports.document_check import bounded_program, examination, limits
from reports.document_check.answers import FileAnswer, FileStanding
from reports.document_check.files import check_file
from reports.models import DocumentRequest
from tests.cast import Yard
from tests.reports.bundles.invented_log import bundle
from tests.reports.sold_units import made, quick_certificates, sold
from tests.stored_files import own_folders


@pytest.fixture(autouse=True)
def _set_up(settings: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Files lie in a folder of the test; certificates are short."""
    own_folders(settings, tmp_path)
    quick_certificates(monkeypatch)


@pytest.fixture
def issued(yard: Yard) -> tuple[DocumentRequest, bytes]:
    """A registration, and its bytes."""
    document = made(sold(yard), "registration")
    queue.catch_up()
    with queue.open_file(document) as opened:
        return document, bytes(opened.read())


def check(content: bytes) -> FileAnswer:
    """What anybody is told of a file."""
    return check_file(io.BytesIO(content), ENGLISH)


def changed(content: bytes, name: str, change: Callable[[bytes], bytes]) -> bytes:
    """A bundle with one file changed, packed again."""
    target = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(content)) as old, zipfile.ZipFile(target, "w") as new:
        for one in old.namelist():
            held = old.read(one)
            new.writestr(one, change(held) if one.endswith(name) else held)
    return target.getvalue()


def test_the_file_that_was_issued_is_issued(issued: tuple[DocumentRequest, bytes]) -> None:
    """By its digest alone; nothing of it is examined."""
    document, content = issued
    answer = check(content)
    assert (answer.standing, answer.findings) == (FileStanding.ISSUED, ())
    assert answer.about is not None
    assert answer.about.number == document.number


@pytest.mark.parametrize("name", ["readings.csv", "registration.json", "registration.pdf"])
def test_an_altered_bundle_is_named_with_the_file_that_was_altered(
    issued: tuple[DocumentRequest, bytes], name: str
) -> None:
    """With the document it says it is, and where that stands."""
    document, content = issued
    answer = check(changed(content, name, lambda held: held.replace(b"e", b"f", 1)))
    assert answer.standing is FileStanding.ALTERED
    assert answer.about is not None
    assert answer.about.number == document.number
    failed = {one.file for one in answer.findings if one.status == "fails"}
    assert f"data/{name}" in failed


def test_a_bundle_only_packed_again_is_altered_in_its_wrapper_alone(
    issued: tuple[DocumentRequest, bytes],
) -> None:
    """What it holds is as it was, and that is said."""
    answer = check(changed(issued[1], "", lambda held: held))
    assert answer.standing is FileStanding.ALTERED
    assert {one.code for one in answer.findings if one.status == "fails"} == {"zip-repacked"}


def test_a_bundle_of_another_log_is_unknown(db: None, tmp_path: Path) -> None:
    """However well it is signed: its key is not ours."""
    sealing.seal()
    answer = check(bundle(tmp_path).read_bytes())
    assert answer.standing is FileStanding.UNKNOWN


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"a letter",
        b"PK",
        b"%PDF-1.7 nothing",
        b"PK\x03\x04" + bytes(5000),
        b"PK\x05\x06" + bytes(18),
        b"%PDF" + b"/Type /EmbeddedFile stream\n" * 9000,
        b"\x00" * 100,
    ],
)
def test_what_is_no_document_is_unknown(db: None, content: bytes) -> None:
    """Other files, and beginnings of ours."""
    assert check(content).standing is FileStanding.UNKNOWN


def test_a_bomb_is_not_unpacked(yard: Yard) -> None:
    """A file that says it is small and is not."""
    target = io.BytesIO()
    with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("registration-x/data/x", b"\0" * 200_000_000)
    assert check(target.getvalue()).standing is FileStanding.UNKNOWN


def test_an_examination_that_takes_too_long_is_given_up(
    yard: Yard, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whatever it does meanwhile; its process is gone afterwards."""
    slow = tmp_path / "slow.py"
    slow.write_text("while True: pass\n", encoding="utf-8")
    monkeypatch.setattr(verifier, "__file__", str(slow))
    monkeypatch.setattr(examination, "SECONDS", 1)
    assert check(b"PK").standing is FileStanding.UNREADABLE


@pytest.mark.skipif(sys.platform == "win32", reason="the system knows no limits of a process")
@pytest.mark.parametrize(
    "greed",
    [
        "held = bytes(2 * 1024**3)",
        "print('x' * 10_000_000)",
        "open('more', 'wb').write(bytes(10_000_000))",
    ],
)
def test_an_examination_that_takes_too_much_is_given_up(
    yard: Yard, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, greed: str
) -> None:
    """Memory, output, and room on the disk; the control answers."""
    answer = 'print(\'{"exit": 1, "findings": []}\')\n'
    program = tmp_path / "greedy.py"
    monkeypatch.setattr(verifier, "__file__", str(program))
    program.write_text(answer, encoding="utf-8")
    assert check(b"PK").standing is FileStanding.UNKNOWN
    program.write_text(f"{greed}\n{answer}", encoding="utf-8")
    assert check(b"PK").standing is FileStanding.UNREADABLE


def test_only_so_many_are_examined_at_once(yard: Yard) -> None:
    """Another is asked to come back; room is given back afterwards."""
    with limits.examination(), limits.examination(), pytest.raises(Refusal) as no:
        check(b"PK")
    assert no.value.code == "too-many-checks"
    assert check(b"PK").standing is FileStanding.UNKNOWN


def test_nothing_of_the_examined_file_is_kept(
    issued: tuple[DocumentRequest, bytes], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Its copy is gone with its folder."""
    folder = tmp_path / "temporary"
    folder.mkdir()
    monkeypatch.setattr("tempfile.tempdir", str(folder))
    check(issued[1] + b" ")
    assert not list(folder.iterdir())


def test_the_limits_are_taken_on_by_the_program_itself() -> None:
    """Not by the service, whose own they would be."""
    assert Path(bounded_program.__file__).name == "bounded_program.py"
    assert bounded_program.SECONDS < examination.SECONDS
