"""Examination of a file by the verifier that travels in bundles, as a bounded program of its own.

The file comes from anybody. So the verifier runs apart from the service, with limits of time,
memory and output, over a temporary copy that is deleted.
"""

import re
import subprocess
import sys
import tempfile
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Final

import msgspec

from prep.queries import log
from prep.rules.identity.check_characters import is_certificate_number
from reports.bundles import verifier
from reports.document_check import bounded_program, limits
from reports.document_check.answers import FileFinding

SECONDS: Final = 30  # on the clock
PIECE: Final = 1 << 20
EXAMINED: Final = (b"PK", b"%PDF")  # how a bundle and a certificate begin
BUNDLE, CERTIFICATE = "bundle.zip", "certificate.pdf"  # what findings call the file
MOST_TEXT: Final = 300  # characters of a finding
STATED: Final = {"statement-read", "certificate-stated"}  # findings that name the document
NUMBER: Final = re.compile(r"\b[A-Z][0-9A-Z]{12}\b")
STATUSES: Final = {
    verifier.HOLDS: "holds",
    verifier.FAILS: "fails",
    verifier.UNCHECKED: "unchecked",
    verifier.NOTE: "note",
}


class _Found(msgspec.Struct, frozen=True):
    """A finding as the verifier prints it."""

    status: str
    code: str
    file: str
    text: str


class _Report(msgspec.Struct, frozen=True):
    """What the verifier prints for programs."""

    exit: int
    findings: list[_Found]


@dataclass(frozen=True)
class Examination:
    """What was found of a file. `number` is the document it says it is; empty where it says none.

    `holds` says that nothing in it could have been changed by somebody without the log's key.
    """

    number: str
    holds: bool
    findings: tuple[FileFinding, ...]


def is_examined(start: bytes) -> bool:
    """Whether a file that begins like this may be a bundle or a certificate."""
    return start.startswith(EXAMINED)


def examine(opened: IO[bytes]) -> Examination | None:
    """What the verifier finds of a bundle or a certificate; None where it could not get through.

    Raises Refusal while too many are being examined.
    """
    with limits.examination(), tempfile.TemporaryDirectory() as folder:
        first = opened.read(PIECE)
        copy = Path(folder) / (CERTIFICATE if first.startswith(b"%PDF") else BUNDLE)
        with copy.open("wb") as target:
            target.write(first)
            while piece := opened.read(PIECE):
                target.write(piece)
        report = _report(copy, Path(folder) / "report")
    return _examination(report) if report else None


def _report(file: Path, target: Path) -> _Report | None:
    keys = [part for key in log.public_keys() for part in ("--key", key.text)]
    programs = (bounded_program.__file__, verifier.__file__)
    command = [sys.executable, "-I", *programs, "--json", *keys, str(file)]
    try:
        with target.open("wb") as written:
            subprocess.run(
                command,
                stdin=subprocess.DEVNULL,
                stdout=written,
                stderr=subprocess.DEVNULL,
                timeout=SECONDS,
                check=False,
                cwd=file.parent,
                env={"PYTHONIOENCODING": "utf-8"},
            )
        return msgspec.json.decode(target.read_bytes(), type=_Report)
    except (subprocess.TimeoutExpired, msgspec.DecodeError):
        return None


def _examination(report: _Report) -> Examination:
    findings = tuple(
        FileFinding(
            code=one.code,
            status=STATUSES[one.status],
            file="" if one.file in (BUNDLE, CERTIFICATE) else one.file,
            text=one.text[:MOST_TEXT],
        )
        for one in report.findings
    )
    return Examination(_number(report.findings), report.exit == 0, findings)


def _number(findings: Iterable[_Found]) -> str:
    """The first document number that the verifier read in a statement; it has a right check."""
    texts = (one.text for one in findings if one.code in STATED)
    numbers = (number for text in texts for number in NUMBER.findall(text))
    return next(filter(is_certificate_number, numbers), "")
