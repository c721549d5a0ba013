"""Check of a file somebody holds: by its SHA-256 against the files that were issued.

Where the log does not know it, a bundle or a certificate is examined for what was changed in it.
"""

import hashlib
from typing import IO, Final

from prep.words.documents.standings import file_advice, file_text
from prep.words.reader import Reader
from reports.document_check import limits
from reports.document_check.answers import FileAnswer, FileFinding, FileStanding, NumberAnswer
from reports.document_check.examination import examine, is_examined
from reports.document_check.numbers import check_number, number_of
from reports.numbers import read_number

CHUNK: Final = 1 << 16


def check_file(opened: IO[bytes], reader: Reader, number: str = "") -> FileAnswer:
    """What a file is; `number` is the document it is held against, where there is one.

    Nothing of the file is kept. Raises Refusal where it is too large.
    """
    digest, size = _measured(opened)
    known = number_of(digest)
    if not known:
        return _examined(opened, digest, size, reader)
    about = check_number(known, reader)
    other = number and known != read_number(number).number
    standing = FileStanding.OF_ANOTHER_NUMBER if other else FileStanding.ISSUED
    return _answer(standing, digest, size, reader, about)


def _examined(opened: IO[bytes], digest: str, size: int, reader: Reader) -> FileAnswer:
    """What a file is whose digest the log does not know."""
    opened.seek(0)
    start = opened.read(4)
    if not is_examined(start):
        return _answer(FileStanding.UNKNOWN, digest, size, reader)
    opened.seek(0)
    found = examine(opened)
    if found is None:
        return _answer(FileStanding.UNREADABLE, digest, size, reader)
    if not found.number:
        return _answer(FileStanding.UNKNOWN, digest, size, reader)
    about = check_number(found.number, reader)
    if about.document:  # whose file is another, or its digest were known
        return _answer(FileStanding.ALTERED, digest, size, reader, about, found.findings)
    standing = FileStanding.UNLISTED if found.holds else FileStanding.UNKNOWN
    return _answer(standing, digest, size, reader, about, found.findings)


def _answer(
    standing: FileStanding,
    digest: str,
    size: int,
    reader: Reader,
    about: NumberAnswer | None = None,
    findings: tuple[FileFinding, ...] = (),
) -> FileAnswer:
    return FileAnswer(
        digest=digest,
        bytes=size,
        standing=standing,
        sentence=file_text(standing, reader, number=about.number if about else ""),
        advice=file_advice(standing, reader),
        about=about,
        findings=findings,
    )


def _measured(opened: IO[bytes]) -> tuple[str, int]:
    """SHA-256 and size of a file, read in pieces."""
    digest, size = hashlib.sha256(), 0
    while piece := opened.read(CHUNK):
        size += len(piece)
        if size > limits.LARGEST:
            raise limits.too_large()
        digest.update(piece)
    return digest.hexdigest(), size
