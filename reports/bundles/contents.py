"""Collecting a bundle's files: written one after the other to a folder, never all in memory."""

import hashlib
import re
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import datetime
from enum import StrEnum
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import BinaryIO, Final, NamedTuple, TextIO, cast
from uuid import UUID

from django.core.files.storage import default_storage

from prep.actions import sealing
from prep.actions.beside_the_log.pictures import PHOTO
from prep.models import Checkpoint, LogKey, Photo
from prep.queries.records import Happening, history
from prep.record.log.bundle_statement import BundleStatement, Streams
from prep.record.log.envelope import moment
from prep.record.log.signed_notes import (
    NoteError,
    VerifierKey,
    parse_checkpoint,
    parse_verifier_key,
    verify_note,
)
from prep.record.personal import Personal
from prep.record.unit.state import Record
from reports.bundles.bag import Opener, write_bag
from reports.bundles.csv_format import Row, Table, csv_line
from reports.document_kind import Held

CHECKER: Final = Path(__file__).with_name("verifier.py")
PAGE: Final = Path(__file__).with_name("verify.html")
MADE_BY: Final = "Yardproof, bundle layout 2"
WITHOUT_FILES: Final = ("Left-Out", "photos, certificates")  # label of an audit without files
ERASED: Final = "erased.csv"  # what was erased for the personal data in it
NAME_LENGTH: Final = 60
MOST_LINES: Final = 1_000_000  # of one file; spreadsheets read 1,048,576
MOST_CHARACTERS: Final = 1 << 29  # of one file; at most 2 GiB in UTF-8


@dataclass(frozen=True)
class Cut:
    """Cut of the log for a bundle: entries under a checkpoint, known at a moment if one is given.

    Whatever is added to the log later changes nothing of it, so a bundle made again is the same.
    """

    checkpoint: Checkpoint
    known_at: datetime | None = None

    def history(self, unit: UUID) -> list[Happening]:
        """A unit's events within the cut, oldest first. One query."""
        return history(unit, known_at=self.known_at, below=self.checkpoint.size)


class Issue(NamedTuple):
    """A bundle as the log's key signs it: its kind and number, its cut and the streams in it."""

    kind: str
    number: str
    cut: Cut
    streams: Streams

    @property
    def name(self) -> str:
        """Name of the bag's folder, and of the file without its ending."""
        return f"{self.kind}-{self.number}"

    def sign(self, tagmanifest: str) -> bytes:
        """The signed statement over the bag whose tag manifest has this SHA-256."""
        checkpoint, until = self.cut.checkpoint, self.cut.known_at
        statement = BundleStatement(
            log=parse_checkpoint(checkpoint.note.partition("\n\n")[0] + "\n").origin,
            kind=self.kind,
            number=self.number,
            size=checkpoint.size,
            root=bytes.fromhex(checkpoint.root),
            until=moment(until) if until else "",
            bag=self.name,
            tagmanifest=tagmanifest,
            streams=self.streams,
        )
        return sealing.sign_like(checkpoint.note, statement.text()).encode()


@dataclass
class Payload:
    """The files that will lie below `data/`: written here, or opened from the storage.

    `erased` are those that would, had they not been erased for the personal data in them: the name
    of each, and its digest in the log. `holds` are the personal data in those that are there.
    """

    folder: Path
    stored: list[tuple[str, Opener]] = field(default_factory=list)
    erased: list[tuple[str, str]] = field(default_factory=list)
    holds: set[Held] = field(default_factory=set)

    @contextmanager
    def writing(self, path: str, *, head: str = "") -> Iterator["Parts"]:
        """Context of a text file of the payload; `head` begins each of its parts."""
        parts = Parts(self._place(path), head)
        try:
            yield parts
        finally:
            parts.close()

    def put(self, path: str, content: bytes) -> None:
        """Write a whole file of the payload."""
        self._place(path).write_bytes(content)

    @contextmanager
    def table(self, path: str, header: Row) -> Iterator[Table]:
        """Context of a CSV file of the payload, to which rows are added."""
        with self.writing(path, head=csv_line(header)) as target:
            yield Table(target)

    def refer(self, path: str, file: str) -> None:
        """Add a file of the storage, which is copied only while the bag is written."""
        self.stored.append((path, lambda: cast(BinaryIO, default_storage.open(file, "rb"))))

    def put_erased(self) -> None:
        """List the files that were erased, if there are any."""
        if self.erased:
            with self.table(ERASED, ("file", "sha256 in the log")) as table:
                table.add(self.erased)

    def entries(self) -> list[tuple[str, Opener]]:
        """Paths of all files, each with its opener."""
        written = [path for path in self.folder.rglob("*") if path.is_file()]
        return [
            *((p.relative_to(self.folder).as_posix(), _opener(p)) for p in written),
            *self.stored,
        ]

    def _place(self, path: str) -> Path:
        place = self.folder / path
        place.parent.mkdir(parents=True, exist_ok=True)
        return place


class Parts:
    """A text file that goes on in another one when it is full: `a.csv`, `a-2.csv`, `a-3.csv` …

    One file of a bag stays below 2 GiB, and a table below what spreadsheets read.
    """

    def __init__(self, first: Path, head: str) -> None:
        self._first, self._head = first, head
        self._part = 0
        self._open()

    def write(self, line: str) -> None:
        """Append one line with its end; it stays as it is written."""
        if self._lines >= MOST_LINES or self._characters >= MOST_CHARACTERS:
            self.close()
            self._open()
        self._target.write(line)
        self._lines += 1
        self._characters += len(line)

    def close(self) -> None:
        """Close the part that is being written."""
        self._target.close()

    def _open(self) -> None:
        self._part += 1
        number = f"-{self._part}" if self._part > 1 else ""
        path = self._first.with_name(f"{self._first.stem}{number}{self._first.suffix}")
        self._target: TextIO = path.open("w", encoding="utf-8", newline="")
        self._lines = self._characters = 0
        self._target.write(self._head)


@contextmanager
def collecting(beside: Path) -> Iterator[Payload]:
    """Context of an empty payload in a temporary folder, deleted at the end."""
    with TemporaryDirectory(dir=beside, prefix="bundle-") as folder:
        yield Payload(Path(folder))


def pack(
    target: Path,
    issue: Issue,
    payload: Payload,
    readme: str,
    info: Sequence[tuple[str, str]],
    tell: Callable[[int, int], None] = lambda _done, _all: None,
) -> str:
    """Write the bundle: the signed bag with its README and the two checkers beside `data/`.

    Returns the SHA-256 of its tag manifest. `tell` is called with the number of files packed and
    of all of them.
    """
    payload.put_erased()
    entries = payload.entries()

    def reporting(number: int, opener: Opener) -> Opener:
        def opened() -> BinaryIO:
            tell(number, len(entries))
            return opener()

        return opened

    with target.open("wb") as opened:
        return write_bag(
            opened,
            issue.name,
            [(path, reporting(number, opener)) for number, (path, opener) in enumerate(entries)],
            info=[(label, one_line(value)) for label, value in info if one_line(value)],
            tag_files=[
                ("README.txt", readme.encode()),
                ("verifier.py", CHECKER.read_bytes()),
                ("verify.html", PAGE.read_bytes()),
            ],
            sign=issue.sign,
        )


def put_checkpoint(payload: Payload, checkpoint: Checkpoint) -> None:
    """Write the signed checkpoint, and the keys that signed it and sign the bundle."""
    payload.put("proof/checkpoint.txt", checkpoint.note.encode())
    keys = map(parse_verifier_key, LogKey.objects.values_list("verifier", flat=True))
    signers = sorted(
        {sealing.key_like(checkpoint.note).text}
        | {key.text for key in keys if _has_signed(key, checkpoint.note)}
    )
    payload.put("proof/keys.txt", "".join(f"{key}\n" for key in signers).encode())


def _has_signed(key: VerifierKey, note: str) -> bool:
    try:
        verify_note(note, [key])
    except NoteError:
        return False
    return True


class Fault(StrEnum):
    """What is wrong with a stored file: it is missing, or differs from its digest in the log."""

    GONE = "gone"
    CHANGED = "changed"


class FileFault(NamedTuple):
    """A stored file that is not as it was recorded, by its name in the bundle."""

    name: str
    fault: Fault


def put_photos(payload: Payload, record: Record, folder: str = "photos") -> list[FileFault]:
    """Add a unit's photographs; returns the faults of those that are gone or changed."""
    stored = Photo.objects.filter(pk__in=[photo.photo for photo, _ in record.photos])
    erased = set(stored.exclude(erased=None).values_list("pk", flat=True))
    faults = []
    for number, (photo, _) in enumerate(record.photos, 1):
        line = "-".join(filter(None, (photo.step, photo.line, photo.position)))
        where = "paper-sheet" if photo.of_paper else "plate" if photo.of_plate else line
        name = f"{number:03d}-{file_name(where)}{Path(photo.name).suffix}"
        if UUID(photo.photo) in erased:
            payload.erased.append((f"{folder}/{name}", photo.digest))
            continue
        payload.holds.add(Held(Personal.PHOTO, photo.photo))
        file = PHOTO.file(photo.digest)
        fault = stored_fault(file, photo.digest)
        if fault:
            faults.append(FileFault(name, fault))
        if fault is not Fault.GONE:
            payload.refer(f"{folder}/{name}", file)
    return faults


def stored_fault(file: str, digest: str) -> Fault | None:
    """What is wrong with a stored file of which the log holds the SHA-256; None if nothing."""
    if not file or not default_storage.exists(file):
        return Fault.GONE
    with default_storage.open(file, "rb") as opened:
        actual = hashlib.file_digest(opened, "sha256")
    return None if actual.hexdigest() == digest else Fault.CHANGED


def machine(maker: str, name: str) -> str:
    """Display name of a machine; a model name that begins with the manufacturer stays as it is."""
    return name if name.startswith(maker) else f"{maker} {name}"


def file_name(text: str) -> str:
    """File name made of `text` that is valid on every file system."""
    return re.sub(r"[^A-Za-z0-9_-]+", "-", text).strip("-")[:NAME_LENGTH].strip("-") or "x"


def one_line(text: str) -> str:
    """`text` in one line without control characters."""
    return " ".join("".join(c if c.isprintable() else " " for c in text).split())


def _opener(path: Path) -> Callable[[], BinaryIO]:
    return lambda: path.open("rb")
