"""The checkpoints in issued certificates and bundles, held against the log as it stands.

Each of them left the service over a signed root. Whoever cuts the log short, or writes it anew,
has to reach every one of these files too, and cannot sign them.
"""

import io
import json
import zipfile
from collections.abc import Callable, Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass, field
from typing import IO, Any, Final, cast

import pikepdf
from django.core.files.storage import default_storage

from prep.record.log.kept_checkpoints import checkpoints_in
from prep.record.log.signed_notes import Checkpoint, parse_proof
from prep.verify.checkpoints import LogUnder, published_keys, signed_by_log
from prep.verify.findings import Code, Fault, Finding, Statement
from reports.models import DocumentRequest

LONGEST: Final = 10_000  # bytes of a checkpoint; one has a few hundred
CHECKPOINT: Final = "/checkpoint.txt"
# A fault of a checkpoint, as it is called of one in a document.
_OF_DOCUMENT: Final[Mapping[Code, Code]] = {
    "kept-invalid": "document-root-invalid",
    "kept-other-key": "document-other-key",
    "checkpoint-log-short": "document-log-short",
    "checkpoint-log-differs": "document-log-differs",
    "checkpoint-rootless": "document-rootless",
}


@dataclass
class IssuedCheckpoints:
    """The checkpoints of a page of documents, and how far all that agreed have reached."""

    notes: list[tuple[DocumentRequest, str]] = field(default_factory=list)
    agreed: int = 0
    newest: int = 0

    def read(self, request: DocumentRequest) -> None:
        """Read the checkpoints in the file of a document."""
        self.notes += [(request, note) for note in checkpoints_of(request)]

    def held_against_log(self) -> Iterator[Finding]:
        """Check that the log still holds every entry under each of them."""
        keys, _ = published_keys()
        signed = [(request, signed_by_log(note, keys)) for request, note in self.notes]
        self.notes = []
        under = LogUnder.of([one.size for _, one in signed if isinstance(one, Checkpoint)])
        for request, one in signed:
            fault = one if isinstance(one, Fault) else under.fault(one.size, one.root.hex())
            size = one.size if isinstance(one, Checkpoint) else 0
            if fault is None:
                self.agreed, self.newest = self.agreed + 1, max(self.newest, size)
                continue
            named = {"kind": request.kind, "number": request.number, "size": size}
            yield Finding(
                "document", str(request.pk), _OF_DOCUMENT[fault.code], {**named, **fault.values}
            )

    def statements(self) -> Iterator[Statement]:
        """How many agree with the log, and up to which entry."""
        if self.agreed:
            yield Statement("documents-agree", {"count": self.agreed, "size": self.newest})


def checkpoints_of(request: DocumentRequest) -> list[str]:
    """Signed notes in the file of a document, each once; none where its kind holds none."""
    read = _READERS.get(request.media_type)
    if read is None:
        return []
    try:
        with default_storage.open(str(request.file), "rb") as opened:
            return list(dict.fromkeys(read(cast(IO[bytes], opened))))
    except (OSError, ValueError, zipfile.BadZipFile, pikepdf.PdfError):
        return []  # no file of that type; whether it is the one issued is for another check


def _of_bundle(file: IO[bytes]) -> Iterator[str]:
    with zipfile.ZipFile(file) as bundle:
        for member in bundle.infolist():
            if member.filename.endswith(CHECKPOINT) and member.file_size <= LONGEST:
                yield from checkpoints_in(bundle.read(member))


def _of_pdf(file: IO[bytes]) -> Iterator[str]:
    """The checkpoint under the proof in an attached record."""
    with pikepdf.open(io.BufferedReader(cast(io.RawIOBase, file))) as pdf:
        for attached in pdf.attachments.values():
            with suppress(ValueError, KeyError, TypeError):  # something else is attached
                record: Any = json.loads(attached.get_file().read_bytes())
                yield parse_proof(record["proof"]["tlog"]).note


def _of_report(file: IO[bytes]) -> Iterator[str]:
    """The newest checkpoint that a verification began with."""
    report: Any = json.load(file)
    with suppress(KeyError, TypeError):
        yield from checkpoints_in(str(report["checkpoint"]["note"]).encode())


_READERS: Final[Mapping[str, Callable[[IO[bytes]], Iterator[str]]]] = {
    "application/json": _of_report,
    "application/pdf": _of_pdf,
    "application/zip": _of_bundle,
}
