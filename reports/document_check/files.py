"""Check of a file somebody holds: by its SHA-256 against the files that were issued."""

import hashlib
from typing import IO, Final

from prep.words.documents.standings import file_advice, file_text
from prep.words.reader import Reader
from reports.document_check import limits
from reports.document_check.answers import FileAnswer, FileStanding, NumberAnswer
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
        return _answer(FileStanding.UNKNOWN, digest, size, reader)
    about = check_number(known, reader)
    other = number and known != read_number(number).number
    standing = FileStanding.OF_ANOTHER_NUMBER if other else FileStanding.ISSUED
    return _answer(standing, digest, size, reader, about)


def _answer(
    standing: FileStanding,
    digest: str,
    size: int,
    reader: Reader,
    about: NumberAnswer | None = None,
) -> FileAnswer:
    return FileAnswer(
        digest=digest,
        bytes=size,
        standing=standing,
        sentence=file_text(standing, reader, number=about.number if about else ""),
        advice=file_advice(standing, reader),
        about=about,
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
