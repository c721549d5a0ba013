"""Check a bundle, a certificate or a checkpoint without the service that made it.

    python verifier.py BUNDLE.zip [--key KEY] [--older CHECKPOINT --proof PROOF]
    python verifier.py CERTIFICATE.pdf [--key KEY] [--digest SHA256]
    python verifier.py CHECKPOINT.txt [--key KEY] [--older CHECKPOINT --proof PROOF]

BUNDLE may be the ZIP or its unpacked folder. KEY is the line the dealership publishes for its
log; without it, the key inside the bundle is used and you are told so. PROOF has one base64 hash
a line. Exit code: 0 all holds, 1 something does not, 2 not all could be checked, 3 wrong usage.

This one file travels inside bundles to people who have nothing but Python 3.9, so it imports
nothing of the service and says again, deliberately, the sixty lines of hashing the service has:
a checker that shared them would share their mistakes. Signatures need the `cryptography` package;
without it everything else is checked and the signature is reported as not checked.
"""

from __future__ import annotations

import argparse
import base64
import hashlib
import json
import re
import sys
import zipfile
import zlib
from collections.abc import Callable, Iterator
from itertools import zip_longest
from pathlib import Path
from typing import IO, Any, NamedTuple, NoReturn

try:
    from cryptography.exceptions import InvalidSignature
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey
except ImportError:
    HAS_ED25519 = False
else:
    HAS_ED25519 = True

BAGIT = b"BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8"
ALGORITHMS = ("sha256", "sha512")
CHUNK = 1 << 16
MANIFEST_LINE = re.compile(r"([0-9a-f]+) {1,2}([^ ].*)")
LARGEST_TEXT = 1 << 27  # bytes read at once: manifests of the largest sane bag
EVENTS, INCLUSION = "data/events.jsonl", "data/proof/inclusion.jsonl"
CHECKPOINT, KEYS = "data/proof/checkpoint.txt", "data/proof/keys.txt"
CERTIFICATE = "data/certificate.pdf"
NAMED = ("data/certificates/", "data/photos/")  # folders of files whose digests stand in events
PROOF_HEADER = "c2sp.org/tlog-proof@v1"
INDEX = re.compile("index (0|[1-9][0-9]{0,14})")
OPENING, CLOSING = b"<yardproof-statement>\n", b"</yardproof-statement>\n"
ROOM = 1024  # bytes between the two
STATEMENT = re.compile(
    "Yardproof certificate\nlog ([^\n]+)\ndocument certificate ([^\n]+)\nfile ([0-9a-f]{64})\n\n"
    "— [^\n]+\n"
)
END_OF_PDF = b"%%EOF\n"
ATTACHMENT, STREAM = re.compile(rb"/Type\s*/EmbeddedFile\b"), re.compile(rb"stream\r?\n")
MOST_ATTACHED = 4  # attached files looked at for the record, which is the first of two
LARGEST_RECORD = 1 << 25
LONGEST_NUMBER = 18  # digits
VERDICTS = (
    "Everything holds.",
    "Something does not hold: do not rely on this, and ask the dealership.",
    "No problems found, but not everything could be checked.",
)
UNREADABLE = (zipfile.BadZipFile, OSError, EOFError, ValueError, RuntimeError, zlib.error)
WRAPPER_FAULT = (
    "The ZIP around the files is not as it was issued. If you packed it again yourself, unpack it "
    "and check the folder."
)


class FaultError(Exception):
    """Raised by a check that fails; the text says what does not hold."""


class UncheckedError(Exception):
    """Raised by a check that cannot be made; the text says why."""


class Checkpoint(NamedTuple):
    """A log's name, number of entries and root, as signed in `note`."""

    origin: str
    size: int
    root: bytes
    note: str


class Findings:
    """Outcomes of the checks: what holds, what does not, what could not be checked."""

    def __init__(self) -> None:
        self.lines: list[tuple[str, str]] = []

    def run(self, holds: str, check: Callable[[], Any]) -> Any:
        """Run one check and note its outcome; gives its result, or None when it failed."""
        try:
            result = check()
        except FaultError as fault:
            self.lines.append(("DOES NOT HOLD", str(fault)))
        except UncheckedError as unchecked:
            self.lines.append(("not checked", str(unchecked)))
        else:
            self.lines.append(("holds", holds.format(result)))
            return result
        return None

    @property
    def exit_code(self) -> int:
        """0 all holds, 1 something does not, 2 not all could be checked."""
        kinds = {kind for kind, _ in self.lines}
        return 1 if "DOES NOT HOLD" in kinds else 2 if "not checked" in kinds else 0


# The files of a bag, packed or not


class Files:
    """The files of one bag: names relative to its folder, and their contents."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.archive: zipfile.ZipFile | None = None
        self.folder = ""
        if path.is_dir():
            entries = sorted(path.rglob("*"))
            if any(entry.is_symlink() for entry in entries):
                raise FaultError("The folder holds a link; a bag holds plain files only.")
            self.names = [e.relative_to(path).as_posix() for e in entries if not e.is_dir()]
            return
        try:
            self.archive = zipfile.ZipFile(path)
        except UNREADABLE as error:
            raise FaultError(f"The ZIP cannot be opened: {error}.") from None
        listed = self.archive.infolist()
        for entry in listed:
            _check_entry(entry)
        if len({entry.filename for entry in listed}) != len(listed):
            raise FaultError("The ZIP holds two files of one name.")
        folders = {entry.filename.partition("/")[0] for entry in listed}
        if len(folders) != 1:
            raise FaultError("The ZIP must hold one folder with the bag in it and nothing else.")
        self.folder = folders.pop() + "/"
        self.names = [e.filename[len(self.folder) :] for e in listed if not e.is_dir()]

    def open(self, name: str) -> IO[bytes]:
        """One file, to be read from its start."""
        if self.archive is None:
            return (self.path / name).open("rb")
        return self.archive.open(self.folder + name)

    def pieces(self, name: str, lines: bool = False) -> Iterator[bytes]:
        """Contents of one file, chunk by chunk or line by line."""
        if name not in self.names:
            raise UncheckedError(f"{name} is not in the bundle.")
        try:
            with self.open(name) as source:
                while piece := source.readline(LARGEST_TEXT) if lines else source.read(CHUNK):
                    yield piece
        except UNREADABLE as error:
            raise FaultError(f"{name} cannot be read: {error}.") from None

    def lines(self, name: str) -> Iterator[bytes]:
        """Lines of a file and of its further parts: `a.jsonl`, `a-2.jsonl`, `a-3.jsonl` …"""
        stem, _, ending = name.rpartition(".")
        part = 1
        while part == 1 or name in self.names:
            yield from self.pieces(name, lines=True)
            part += 1
            name = f"{stem}-{part}.{ending}"

    def content(self, name: str) -> bytes:
        """A file that fits into memory."""
        held = b""
        for piece in self.pieces(name):
            held += piece
            if len(held) > LARGEST_TEXT:
                raise FaultError(f"{name} is larger than any such file can be.")
        return held

    def text(self, name: str) -> str:
        """A text file that fits into memory."""
        return _decoded(self.content(name), name)


def _decoded(held: bytes, name: str) -> str:
    try:
        return held.decode()
    except UnicodeDecodeError:
        raise FaultError(f"{name} is not text.") from None


def _check_entry(entry: zipfile.ZipInfo) -> None:
    name, mode = entry.filename, entry.external_attr >> 16
    if not _is_safe(name.removesuffix("/")):
        raise FaultError(f"The ZIP holds a path that leads elsewhere: “{name}”.")
    if mode & 0o170000 not in {0, 0o100000, 0o040000} or entry.flag_bits & 1:
        raise FaultError(f"{name} in the ZIP is a link, a device or encrypted.")
    if entry.compress_type not in {zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED}:
        raise FaultError(f"{name} in the ZIP is packed in an unusual way.")
    if entry.file_size > 1000 * entry.compress_size + CHUNK:
        raise FaultError(f"{name} in the ZIP would unpack to far more than it is.")


def _is_safe(path: str) -> bool:
    parts = path.split("/")
    leads_out = path.startswith("~") or "\\" in path or ":" in parts[0]
    return not leads_out and not any(part in {"", ".", ".."} for part in parts)


class _Comparison:
    """File-like object that compares what is written to it with an existing file."""

    def __init__(self, there: IO[bytes]) -> None:
        self.there = there
        self.wrong: set[int] = set()  # a header is written twice: first without its sums

    def write(self, data: bytes) -> int:
        """Compare `data` with what stands at this place."""
        start = self.there.tell()
        there = self.there.read(len(data))
        self.wrong -= {place for place in self.wrong if start <= place < start + len(data)}
        if there != data:
            both = enumerate(zip_longest(data, there), start)
            self.wrong |= {place for place, (ours, theirs) in both if ours != theirs}
        if len(self.wrong) > CHUNK:
            raise FaultError(WRAPPER_FAULT)
        self.there.seek(start + len(data))
        return len(data)

    def __getattr__(self, name: str) -> Any:
        return getattr(self.there, name)


# The bag: BagIt 1.0 (RFC 8493), and stricter


def check_bag(files: Files) -> int:
    """Number of payload files of a bag that is complete and unchanged; FaultError otherwise.

    Stricter than the standard, so that any changed byte shows: every file beside the payload is
    listed in every tag manifest, and a manifest has one spelling. Nothing is fetched.
    """
    names = set(files.names)
    if "bagit.txt" not in names or files.content("bagit.txt") not in {BAGIT, BAGIT + b"\n"}:
        raise FaultError("bagit.txt is missing or not exactly as BagIt 1.0 wants it.")
    if "fetch.txt" in names:
        raise FaultError("The bag wants files fetched from elsewhere; all must be in it.")
    payload = {name for name in names if name.startswith("data/")}
    tags = {name for name in names - payload if not name.startswith("tagmanifest-")}
    octets = 0
    for name, digests in _listed(files, "manifest", payload).items():
        octets += _check_digests(files, name, digests)
    for name, digests in _listed(files, "tagmanifest", tags).items():
        _check_digests(files, name, digests)
    if _algorithms(names, "manifest") != _algorithms(names, "tagmanifest"):
        raise FaultError("A manifest is missing: those of the files and of the tags do not match.")
    if "bag-info.txt" in names:
        _check_oxum(files.text("bag-info.txt"), f"{octets}.{len(payload)}")
    return len(payload)


def _listed(files: Files, kind: str, expected: set[str]) -> dict[str, dict[str, str]]:
    """Digests by algorithm of every expected file; each manifest lists each of them once."""
    listed: dict[str, dict[str, str]] = {name: {} for name in expected}
    manifests = [name for name in files.names if name.startswith(f"{kind}-")]
    if not manifests:
        raise FaultError(f"The bag has no {kind}; nothing proves its files unchanged.")
    for manifest in manifests:
        algorithm = manifest[len(kind) + 1 :].partition(".txt")[0]
        if manifest != f"{kind}-{algorithm}.txt" or algorithm not in ALGORITHMS:
            raise FaultError(f"{manifest} is of a kind that proves nothing today.")
        for line in files.text(manifest).removesuffix("\n").split("\n"):
            entry = MANIFEST_LINE.fullmatch(line)
            if not entry:
                raise FaultError(f"{manifest} has a line that is no digest and file: “{line}”.")
            name = re.sub("%(0A|0D|25)", lambda code: chr(int(code[1], 16)), entry[2])
            if name not in listed:
                raise FaultError(f"{manifest} lists {name}, which is not in its place in the bag.")
            if algorithm in listed[name]:
                raise FaultError(f"{manifest} lists {name} twice.")
            listed[name][algorithm] = entry[1]
        for name, digests in sorted(listed.items()):
            if algorithm not in digests:
                raise FaultError(f"{name} is in the bag but not in {manifest}.")
    return listed


def _algorithms(names: set[str], kind: str) -> set[str]:
    return {name[len(kind) :] for name in names if name.startswith(f"{kind}-")}


def _check_digests(files: Files, name: str, digests: dict[str, str]) -> int:
    running = {algorithm: hashlib.new(algorithm) for algorithm in digests}
    size = 0
    for piece in files.pieces(name):
        size += len(piece)
        for digest in running.values():
            digest.update(piece)
    if any(running[algorithm].hexdigest() != digests[algorithm] for algorithm in digests):
        raise FaultError(f"{name} was changed: its digest is not the one in the manifest.")
    return size


def _check_oxum(info: str, actual: str) -> None:
    stated = [line[14:] for line in info.split("\n") if line.startswith("Payload-Oxum: ")]
    if stated and stated != [actual]:
        raise FaultError(f"bag-info.txt states Payload-Oxum {stated[0]}; the bag holds {actual}.")


def check_wrapper(path: Path, files: Files) -> None:
    """Check that a ZIP is byte for byte what packing its files gives; FaultError otherwise."""
    if files.archive is None:
        raise UncheckedError("A folder was given; the ZIP it came in was not looked at.")
    with path.open("rb") as there:
        comparison = _Comparison(there)
        with zipfile.ZipFile(comparison, "w") as again:
            for name in files.names:
                plain = zipfile.ZipInfo(files.folder + name, (1980, 1, 1, 0, 0, 0))
                plain.create_system, plain.external_attr = 3, 0o100644 << 16
                with again.open(plain, "w") as sink:
                    for piece in files.pieces(name):
                        sink.write(piece)
        if comparison.wrong or there.read(1):
            raise FaultError(WRAPPER_FAULT)


# The log: RFC 6962 tree, signed checkpoints


def node_hash(left: bytes, right: bytes) -> bytes:
    """SHA-256 over 0x01 and two hashes (RFC 6962 2.1)."""
    return hashlib.sha256(b"\x01" + left + right).digest()


def check_inclusion(index: int, data: bytes, path: list[bytes], checkpoint: Checkpoint) -> None:
    """Check that entry `data` stands at `index` under the checkpoint (RFC 9162 2.1.3.2)."""
    held = hashlib.sha256(b"\x00" + data).digest()
    position, last = index, checkpoint.size - 1
    for sibling in path:
        if position % 2 or position == last:
            held = node_hash(sibling, held)
            while position % 2 == 0 and position:
                position, last = position // 2, last // 2
        else:
            held = node_hash(held, sibling)
        position, last = position // 2, last // 2
    if not 0 <= index < checkpoint.size or last or held != checkpoint.root:
        raise FaultError(f"Entry {index} is not what the log of {checkpoint.origin} holds there.")


def check_consistency(older: Checkpoint, newer: Checkpoint, path: list[bytes]) -> None:
    """Check that the newer log only adds to the older one (RFC 9162 2.1.4.2)."""
    fault = FaultError(
        f"The log of {newer.size} entries does not continue the one of {older.size}: entries were "
        "changed or removed, or the proof belongs to other checkpoints."
    )
    if older.size == newer.size and not path and older.root == newer.root:
        return
    if older.origin != newer.origin or not (0 < older.size < newer.size and path):
        raise fault
    hashes = path if older.size & (older.size - 1) else [older.root, *path]
    position, last = older.size - 1, newer.size - 1
    while position % 2:
        position, last = position // 2, last // 2
    old = new = hashes[0]
    for sibling in hashes[1:]:
        if last == 0:
            raise fault
        if position % 2 or position == last:
            old, new = node_hash(sibling, old), node_hash(sibling, new)
            while position % 2 == 0 and position:
                position, last = position // 2, last // 2
        else:
            new = node_hash(new, sibling)
        position, last = position // 2, last // 2
    if last or (old, new) != (older.root, newer.root):
        raise fault


def read_checkpoint(note: str) -> Checkpoint:
    """Checkpoint from a signed note (C2SP tlog-checkpoint); its signature is not looked at.

    Lines after the root are extensions, which a reader passes over.
    """
    text, _, signatures = note.rpartition("\n\n")
    lines = text.split("\n")
    is_whole = signatures and len(lines) >= 3 and all(lines)
    if not is_whole or not re.fullmatch("0|[1-9][0-9]{0,17}", lines[1]):
        raise FaultError("The checkpoint is not origin, size, root and signature, a line each.")
    return Checkpoint(lines[0], int(lines[1]), _hash(lines[2]), note)


def check_signature(note: str, keys: list[str], what: str = "checkpoint") -> str:
    """Name of the key, one of `keys`, that signed a note (C2SP signed-note, Ed25519)."""
    if not keys:
        raise UncheckedError("No key was given; ask the dealership for the key of its log.")
    text, _, block = note.rpartition("\n\n")
    signatures = [line.split(" ") for line in block.removesuffix("\n").split("\n")]
    if not block.endswith("\n") or any(len(s) != 3 or s[0] != "—" for s in signatures):
        raise FaultError(f"The {what}'s signature lines are not well formed.")
    for name, public in map(_key, keys):
        named = name.encode() + b"\n\x01" + public
        key_id = hashlib.sha256(named).digest()[:4]
        for _, signer, encoded in signatures:
            held = _bytes(encoded)
            if signer == name and held[:4] == key_id:
                _check_ed25519(public, held[4:], text.encode() + b"\n", what)
                return name
    raise FaultError(f"The {what} is not signed by the key of this log.")


def _check_ed25519(public: bytes, signature: bytes, text: bytes, what: str) -> None:
    if not HAS_ED25519:
        raise UncheckedError(
            "The signature was not checked: this Python lacks the package `cryptography`. "
            "Install it and run this again."
        )
    try:
        Ed25519PublicKey.from_public_bytes(public).verify(signature, text)
    except InvalidSignature:
        raise FaultError(f"The signature under the {what} is false.") from None


def _key(line: str) -> tuple[str, bytes]:
    name, _, rest = line.partition("+")
    key_id, _, encoded = rest.partition("+")
    public = _bytes(encoded)
    named = hashlib.sha256(name.encode() + b"\n" + public).digest()
    if len(public) != 33 or public[:1] != b"\x01" or named[:4].hex() != key_id:
        raise FaultError(f"This is not a whole verifier key: “{line}”.")
    return name, public[1:]


def _bytes(text: Any) -> bytes:
    try:
        held = base64.b64decode(text, validate=True)
    except (ValueError, TypeError):
        held = b""
    if base64.b64encode(held).decode() != text or not held:
        raise FaultError(f"This is not base64: “{text}”.")
    return held


def _hash(text: Any) -> bytes:
    held = _bytes(text)
    if len(held) != 32:
        raise FaultError(f"This is not a SHA-256 hash: “{text}”.")
    return held


# Events, files, certificates and bundles


def check_events(files: Files, checkpoint: Checkpoint, digests: set[str]) -> int:
    """Number of events, each of which the log holds; digests they name are added to `digests`."""
    count, before = 0, -1
    for event, proof in zip_longest(files.lines(EVENTS), files.lines(INCLUSION)):
        if event is None or proof is None:
            raise FaultError("There are not as many events as proofs.")
        try:
            place = json.loads(proof)
            index, path = place["index"], [_hash(held) for held in place["path"]]
            body = json.loads(event).get("body")
            if type(index) is not int:  # true counts as 1 in Python and stands for no place
                raise TypeError
        except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
            raise FaultError(f"Line {count + 1} of the events or proofs is not readable.") from None
        if index <= before:
            raise FaultError(f"Line {count + 1} of the events is not after the one before it.")
        check_inclusion(index, event.removesuffix(b"\n"), path, checkpoint)
        if isinstance(body, dict) and isinstance(body.get("digest"), str):
            digests.add(body["digest"])
        before = index
        count += 1
    if not count:
        raise UncheckedError("The bundle holds no events.")
    return count


def check_named(files: Files, digests: set[str]) -> int:
    """Number of photographs and certificates, whose digests the events of the bundle must name."""
    named = {name for name in files.names if name.startswith(NAMED)}
    for name in sorted(named):
        hashed = hashlib.sha256()
        for piece in files.pieces(name):
            hashed.update(piece)
        if hashed.hexdigest() not in digests:
            raise FaultError(f"{name} is not the file that the log names.")
    return len(named)


# Certificates: one statement over the whole file, and a record attached


class Statement(NamedTuple):
    """What a certificate states: its log, its number, and the digest of the whole file."""

    note: str
    log: str
    number: str
    digest: str


def check_certificate(pdf: bytes, digest: str, keys: list[str], findings: Findings) -> None:
    """Check a certificate on its own: the statement over its whole file, and its record's proof.

    Without `keys` the key in the record is used, which is said.
    """
    if digest:
        findings.run("The file has the SHA-256 you gave.", lambda: _compare(pdf, digest))
    statement: Statement | None = findings.run(
        "One statement is made over the whole file: certificate {0.number}, log of {0.log}.",
        lambda: read_statement(pdf),
    )
    record: dict[str, Any] | None = findings.run(
        "The record attached to the certificate can be read.", lambda: attached_record(pdf)
    )
    if not keys and record is not None:
        findings.run("", lambda: _take_key_of_record(record, keys))
    if statement is not None:
        findings.run(
            "The statement is signed with the key of {}.",
            lambda: check_signature(statement.note, keys, "statement"),
        )
        findings.run(
            "The whole file is as it was signed: every page, the record and all else in it.",
            lambda: check_whole(pdf, statement),
        )
    if record is not None:
        findings.run(
            "The certificate's record proves {}.", lambda: check_record(record, statement, keys)
        )


def _compare(pdf: bytes, digest: str) -> None:
    actual = hashlib.sha256(pdf).hexdigest()
    if digest.lower() != actual:
        raise FaultError(f"The file is not the one you have the SHA-256 of: its own is {actual}.")


def read_statement(pdf: bytes) -> Statement:
    """The statement of a certificate; neither its signature nor its digest is looked at.

    It is a signed note between two marks that stand in the file once, filled up with newlines to a
    fixed length. As those are covered by nothing, there may be nothing else.
    """
    if OPENING not in pdf and CLOSING not in pdf:
        raise FaultError(
            "The certificate carries no statement over the whole file: anybody may have changed "
            "its pages. Ask the dealership for the file as it was issued."
        )
    if pdf.count(OPENING) > 1 or pdf.count(CLOSING) > 1:
        raise FaultError("The certificate carries two statements: one of them was put into it.")
    start = pdf.find(OPENING) + len(OPENING)
    stop = start + ROOM
    if pdf[stop : stop + len(CLOSING)] != CLOSING or start < len(OPENING):
        raise FaultError("The statement in the certificate was cut, lengthened or torn apart.")
    lies = pdf[: start - len(OPENING)].endswith(b"stream\n")
    if not lies or not pdf[stop + len(CLOSING) :].startswith(b"\nendstream"):
        raise FaultError("The statement in the certificate is not where it was written: moved.")
    note = _decoded(pdf[start:stop].rstrip(b"\n") + b"\n", "The statement in the certificate")
    said = STATEMENT.fullmatch(note)
    if not said:
        raise FaultError("The statement in the certificate was changed: it is not well formed.")
    return Statement(note, *said.groups())


def check_whole(pdf: bytes, statement: Statement) -> None:
    """Check that a file, with zero bytes for its statement, has the digest that was stated."""
    start = pdf.find(OPENING) + len(OPENING)
    digest = hashlib.sha256(pdf[:start])
    digest.update(bytes(ROOM))
    digest.update(pdf[start + ROOM :])
    if digest.hexdigest() != statement.digest:
        raise FaultError(_what_changed(pdf))


def _what_changed(pdf: bytes) -> str:
    """What shows of how a file came to be another than was signed."""
    end = pdf.rfind(END_OF_PDF)
    if end < 0:
        return "The certificate was cut off: its end is missing."
    if pdf.count(END_OF_PDF) > 1:
        return (
            "The certificate was changed after it was signed: an update was appended to it, and "
            "PDF readers show the update."
        )
    if pdf[end:] != END_OF_PDF:
        return "The certificate was changed after it was signed: bytes were added after its end."
    return (
        "The certificate was changed after it was signed: a page, its record or something else "
        "in the file is not as it was issued."
    )


def attached_record(pdf: bytes) -> dict[str, Any]:
    """The JSON record attached to a certificate."""
    for place, attachment in enumerate(ATTACHMENT.finditer(pdf)):
        if place == MOST_ATTACHED:
            break
        start = STREAM.search(pdf, attachment.end())
        stop = pdf.find(b"endstream", start.end()) if start else -1
        if start is None or stop < 0:
            continue
        held = pdf[start.end() : stop]
        described = pdf[pdf.rfind(b"obj", 0, attachment.start()) : start.start()]
        record = _record(held, b"/FlateDecode" in described)
        if record is not None:
            return record
    raise FaultError("The record attached to the certificate is missing or cannot be read.")


def _record(held: bytes, packed: bool) -> dict[str, Any] | None:
    """The record that an attachment is; None for anything else."""
    try:
        if packed:
            held = zlib.decompressobj().decompress(held, LARGEST_RECORD)
        record = json.loads(held.decode(), parse_int=_whole_number)
    except (ValueError, zlib.error, RecursionError):
        return None
    return record if isinstance(record, dict) and "proof" in record else None


def _whole_number(text: str) -> int:
    if len(text) > LONGEST_NUMBER:
        raise ValueError("no number of a record is so long")
    return int(text)


def _take_key_of_record(record: dict[str, Any], keys: list[str]) -> None:
    key = _member(record, "proof", "key")
    if not key:
        raise UncheckedError("No key was given; ask the dealership for the key of its log.")
    keys.append(key)
    raise UncheckedError(
        "Whose key it is: it came with the certificate. Compare it with the one the dealership "
        f"publishes, or give that one with --key: {key}"
    )


def check_record(record: dict[str, Any], statement: Statement | None, keys: list[str]) -> str:
    """Description of the log entry a record proves, its checkpoint signed.

    The record names it under `proof`: `entry`, the entry's canonical JSON as text, and `tlog`, its
    proof in the tlog-proof format. It must be of the certificate that the statement names.
    """
    number = _member(record, "certificate", "number")
    if statement is not None and number != statement.number:
        raise FaultError(
            f"The record is of another certificate: {number}. This one is {statement.number}."
        )
    head, _, note = _member(record, "proof", "tlog").partition("\n\n")
    lines = head.split("\n")
    index = INDEX.fullmatch(lines[1]) if len(lines) > 1 else None
    if lines[0] != PROOF_HEADER or index is None:
        raise FaultError("The proof attached to the certificate is not a tlog-proof.")
    entry, checkpoint = _member(record, "proof", "entry").encode(), read_checkpoint(note)
    check_inclusion(int(index[1]), entry, [_hash(one) for one in lines[2:]], checkpoint)
    if statement is not None and statement.log != checkpoint.origin:
        raise FaultError(f"The record's proof is of another log: that of {checkpoint.origin}.")
    check_signature(note, keys)
    return f"entry {index[1]} of the log of {checkpoint.origin}"


def _member(record: dict[str, Any], outer: str, inner: str) -> str:
    """A text of a record, a member of a member; empty where there is none, or half a character."""
    held = record.get(outer)
    text = held.get(inner) if isinstance(held, dict) else None
    whole = isinstance(text, str) and not re.search("[\ud800-\udfff]", text)
    return str(text) if whole else ""


def check_bundle(path: Path, keys: list[str], findings: Findings) -> Checkpoint | None:
    """Check a bundle; returns its checkpoint, or None where it cannot be read."""
    files = findings.run("The bundle can be opened.", lambda: Files(path))
    if files is None:
        return None
    findings.run("All {} files are complete and unchanged.", lambda: check_bag(files))
    if files.archive:
        findings.run("The ZIP is as it was issued.", lambda: check_wrapper(path, files))
    checkpoint: Checkpoint | None = findings.run(
        "The checkpoint can be read: {0.size} entries in the log of {0.origin}.",
        lambda: read_checkpoint(files.text(CHECKPOINT)),
    )
    if checkpoint is None:
        return None
    if not keys:
        findings.run("", lambda: _take_keys_inside(files, keys))
    findings.run(
        "The checkpoint is signed with the key of {}.",
        lambda: check_signature(checkpoint.note, keys),
    )
    digests: set[str] = set()
    findings.run(
        "All {} events stand in the log, unchanged.",
        lambda: check_events(files, checkpoint, digests),
    )
    if CERTIFICATE in files.names:
        _check_certificate_inside(files, keys, digests, findings)
    if any(name.startswith(NAMED) for name in files.names):
        findings.run(
            "The log names all {} photographs and certificates.",
            lambda: check_named(files, digests),
        )
    return checkpoint


def _check_certificate_inside(
    files: Files, keys: list[str], digests: set[str], findings: Findings
) -> None:
    pdf = findings.run("The certificate can be read.", lambda: files.content(CERTIFICATE))
    if pdf is None:
        return
    named = hashlib.sha256(pdf).hexdigest() in digests
    if named:
        findings.run("The log names this very certificate.", lambda: None)
    if not named or OPENING in pdf:
        check_certificate(pdf, "", keys, findings)


def _take_keys_inside(files: Files, keys: list[str]) -> None:
    keys += files.text(KEYS).split()
    raise UncheckedError(
        "Whose key it is: it came with the bundle. Compare it with the one the dealership "
        f"publishes, or give that one with --key: {' '.join(keys)}"
    )


def check_older(newer: Checkpoint, older: str, proof: str | None, keys: list[str]) -> int:
    """Number of entries of an older checkpoint, once the newer log is proven to hold them all."""
    kept = read_checkpoint(older)
    if kept.size != newer.size and proof is None:
        raise UncheckedError("The older checkpoint needs its consistency proof; give --proof.")
    check_signature(older, keys)
    check_consistency(kept, newer, [_hash(line) for line in (proof or "").split()])
    return kept.size


def say(text: str) -> None:
    """Print a line, with nothing in it that a terminal would obey or could not show."""
    plain = "".join(one if one.isprintable() else "?" for one in text)
    encoding = sys.stdout.encoding or "utf-8"
    print(plain.encode(encoding, "replace").decode(encoding))  # noqa: T201  # its only output


def _read(path: Path) -> str:
    return _decoded(path.read_bytes(), str(path))


class Parser(argparse.ArgumentParser):
    """Argument parser whose usage errors end with code 3; 2 means that not all could be checked."""

    def error(self, message: str) -> NoReturn:
        """Say what is wrong with the command line and stop."""
        self.exit(3, f"{self.format_usage()}{message}\n")


def main(arguments: list[str] | None = None) -> int:
    """Check what the command line names, print in plain words what holds, return the exit code."""
    parser = Parser(description="Check a bundle, a certificate (PDF) or a checkpoint (text).")
    parser.add_argument("what", type=Path, help="the bundle (ZIP or folder), PDF or checkpoint")
    parser.add_argument("--key", action="append", default=[], help="the log's published key")
    parser.add_argument("--older", type=Path, help="a checkpoint you kept from before")
    parser.add_argument("--proof", type=Path, help="the consistency proof from older to newer")
    parser.add_argument("--digest", default="", help="the SHA-256 of a certificate, if known")
    given = parser.parse_args(arguments)
    for path in (given.what, given.older, given.proof):
        if path is not None and not path.exists():
            parser.error(f"There is no {path}.")
    findings = Findings()
    checkpoint = _check_what(given, findings)
    if given.older and checkpoint:
        findings.run(
            "The log still holds all {} entries of the older checkpoint.",
            lambda: check_older(
                checkpoint, _read(given.older), given.proof and _read(given.proof), given.key
            ),
        )
    for kind, text in findings.lines:
        say(f"{kind + ':':15}{text}")
    say(VERDICTS[findings.exit_code])
    return findings.exit_code


def _check_what(given: argparse.Namespace, findings: Findings) -> Checkpoint | None:
    if given.what.is_dir():
        return check_bundle(given.what, given.key, findings)
    with given.what.open("rb") as source:
        start = source.read(4)
    if start[:2] == b"PK":
        return check_bundle(given.what, given.key, findings)
    if start == b"%PDF":
        check_certificate(given.what.read_bytes(), given.digest, given.key, findings)
        return None
    checkpoint: Checkpoint | None = findings.run(
        "The checkpoint can be read: {0.size} entries in the log of {0.origin}.",
        lambda: read_checkpoint(_read(given.what)),
    )
    if checkpoint:
        findings.run(
            "The checkpoint is signed with the key of {}.",
            lambda: check_signature(checkpoint.note, given.key),
        )
    return checkpoint


if __name__ == "__main__":
    sys.exit(main())
