"""Writer of bags: BagIt 1.0 (RFC 8493) inside a ZIP whose bytes are reproducible.

Files are stored, not compressed, in sorted order and under one fixed date, so the bytes depend on
the names and contents alone (ISO/IEC 21320-1 allows no more than we use). Contents stream through;
only names and digests are kept in memory. `reports.bundles.verifier` checks what is written here.

The tag manifest binds every other file, so whatever binds the tag manifest binds the bag. It is
what `sign` is given, and what `sign` makes of it is the one tag file that no manifest lists.
"""

import hashlib
import io
import unicodedata
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import BinaryIO, Final
from zipfile import ZIP_STORED, ZipFile, ZipInfo

Opener = Callable[[], BinaryIO]
Sign = Callable[[str], bytes]  # SHA-256 of the tag manifest in hex, to the contents of SIGNATURE

BAGIT: Final = b"BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"
MANIFEST: Final = "manifest-sha256.txt"
TAG_MANIFEST: Final = "tagmanifest-sha256.txt"
SIGNATURE: Final = "signature.txt"
FIXED_TIME: Final = (1980, 1, 1, 0, 0, 0)  # the first moment a ZIP can name
PLAIN_FILE: Final = 0o100644 << 16
RESERVED: Final = ("data/", "manifest-", "tagmanifest-", "fetch.")  # beginnings of such names
CHUNK: Final = 1 << 16
LARGEST: Final = (1 << 31) - 1  # bytes in one file; beyond it old unpackers fail
LONGEST_NAME: Final = 200  # bytes of one folder's or file's name; every file system takes that
UNSAFE: Final = frozenset('\\:*?"<>|%')  # some systems refuse them; % readers of bags differ on
DEVICES: Final = frozenset(
    ["CON", "PRN", "AUX", "NUL", *(f"{port}{n}" for port in ("COM", "LPT") for n in range(1, 10))]
)


class BagError(ValueError):
    """The bag cannot be written; the text names the file or field and says why."""


@dataclass(frozen=True)
class Stored:
    """A file as it went into the bag."""

    path: str
    size: int
    digest: str


def write_bag(
    target: BinaryIO,
    name: str,
    payload: Iterable[tuple[str, Opener]],
    *,
    info: Sequence[tuple[str, str]],
    tag_files: Iterable[tuple[str, bytes]] = (),
    sign: Sign | None = None,
) -> str:
    """Write a bag called `name` into `target`, an empty file that can be positioned.

    Returns the SHA-256 of its tag manifest, in hex.

    `payload` gives the path of each file below `data/` and what opens it; `tag_files` are further
    files beside `data/`, such as a README; `info` are labels and values of bag-info.txt, where
    Payload-Oxum is added. Raises BagError for no file at all, an unsafe or doubled path, a value
    of more than one line, or a file of 2 GiB and more; `target` must then be thrown away.
    """
    check_path(name)
    files = sorted(payload, key=lambda entry: entry[0])
    if not files:
        raise BagError("A bag needs at least one file; there is nothing to send.")
    check_paths(path for path, _ in files)
    with ZipFile(target, "w", ZIP_STORED) as archive:
        stored = [_store(archive, name, f"data/{path}", opener) for path, opener in files]
        tags = {
            "bagit.txt": BAGIT,
            "bag-info.txt": _bag_info(info, stored),
            MANIFEST: _manifest(stored),
        }
        for path, content in tag_files:
            check_path(path)
            if path in {*tags, SIGNATURE} or path.startswith(RESERVED):
                raise BagError(f"{path} is a name of the bag itself; choose another.")
            tags[path] = content
        stored_tags = [_store_bytes(archive, name, path, tags[path]) for path in sorted(tags)]
        listed = _store_bytes(archive, name, TAG_MANIFEST, _manifest(stored_tags))
        if sign:
            _store_bytes(archive, name, SIGNATURE, sign(listed.digest))
    return listed.digest


def check_path(path: str) -> None:
    """Raise BagError for a path that leaves its folder or that some system could not unpack."""
    if not path or path.startswith(("/", "~")):
        raise BagError(f"{path!r} is not a path below a folder.")
    if any(c in UNSAFE or unicodedata.category(c) in {"Cc", "Cf", "Cs"} for c in path):
        raise BagError(f"{path!r} holds a character that is not allowed in a file name.")
    for part in path.split("/"):
        if part in {"", ".", ".."} or part != part.strip(" .") or len(part.encode()) > LONGEST_NAME:
            raise BagError(f"{path!r} holds a name that is empty, too long or leads elsewhere.")
        if part.split(".")[0].upper() in DEVICES:
            raise BagError(f"{path!r} holds a name that stands for a device.")


def check_paths(paths: Iterable[str]) -> None:
    """Raise BagError for unsafe paths, and for two that one system would take for the same file."""
    seen: dict[str, str] = {}
    for path in paths:
        check_path(path)
        folded = unicodedata.normalize("NFC", path.casefold())
        if folded in seen:
            raise BagError(f"{seen[folded]!r} and {path!r} would be one file on some systems.")
        seen[folded] = path
    for folded, path in seen.items():
        folder = folded.rpartition("/")[0]
        while folder:
            if folder in seen:
                raise BagError(f"{seen[folder]!r} is a file and cannot hold {path!r}.")
            folder = folder.rpartition("/")[0]


def _store(archive: ZipFile, name: str, path: str, opener: Opener) -> Stored:
    entry = ZipInfo(f"{name}/{path}", FIXED_TIME)
    entry.create_system = 3  # Unix, whatever machine writes
    entry.external_attr = PLAIN_FILE
    digest = hashlib.sha256()
    size = 0
    with opener() as source, archive.open(entry, "w") as sink:
        while chunk := source.read(CHUNK):
            size += len(chunk)
            if size > LARGEST:
                raise BagError(f"{path} is 2 GiB or larger; leave it out or split it.")
            digest.update(chunk)
            sink.write(chunk)
    return Stored(path, size, digest.hexdigest())


def _store_bytes(archive: ZipFile, name: str, path: str, content: bytes) -> Stored:
    return _store(archive, name, path, lambda: io.BytesIO(content))


def _manifest(stored: Sequence[Stored]) -> bytes:
    return "".join(f"{file.digest}  {file.path}\n" for file in stored).encode()


def _bag_info(info: Sequence[tuple[str, str]], stored: Sequence[Stored]) -> bytes:
    octets = sum(file.size for file in stored)
    lines = []
    for label, value in [*info, ("Payload-Oxum", f"{octets}.{len(stored)}")]:
        if (
            not label
            or ":" in label
            or any(unicodedata.category(c) in {"Cc", "Cs", "Zl", "Zp"} for c in label + value)
        ):
            raise BagError(f"{label!r} in bag-info must be one line: a label, a colon, a value.")
        lines.append(f"{label}: {value}\n")
    return "".join(lines).encode()
