"""Check a bundle, a certificate or a checkpoint without the service that made it.

    python verifier.py BUNDLE.zip [--key KEY] [--issue PROOF] [--older CHECKPOINT --proof PROOF]
    python verifier.py CERTIFICATE.pdf [--key KEY] [--digest SHA256] [--issue PROOF]
    python verifier.py CHECKPOINT.txt [--key KEY] [--older CHECKPOINT --proof PROOF]

BUNDLE may be the ZIP or its unpacked folder. KEY is the line the dealership publishes for its
log; without it, the key inside the bundle is used and you are told so. The PROOF of --issue is the
proof of issue that the service gives out beside each document; that of --older has one base64 hash
a line. --json prints the findings for programs. Exit code: 0 all holds, 1 something does not, 2 not
all could be checked, 3 wrong usage.

How a bundle hangs together: the log's key signs `signature.txt`, which names the bag, the digest of
the tag manifest, the cut of the log and the last event of each stream. The tag manifest has the
digest of every other file, directly or through the manifest. So nothing can be changed without the
key. What the bundle says is also compared with the log's events, as far as a short program can: the
tables, the registration form, the photos and certificates. What it cannot work out again
(sentences, drawn pages, items to review) is bound by the key alone, and the verdict says so. The
service itself recomputes everything.

This one file travels inside bundles to people who have nothing but Python 3.9, so it imports
nothing of the service and says again, deliberately, the sixty lines of hashing the service has:
a checker that shared them would share their mistakes. Signatures need the `cryptography` package;
without it everything else is checked and the signatures are reported as not checked.
"""

from __future__ import annotations

import argparse
import base64
import csv
import hashlib
import json
import os
import re
import stat
import struct
import sys
import tempfile
import zipfile
import zlib
from collections.abc import Callable, Iterable, Iterator
from itertools import chain, zip_longest
from pathlib import Path, PurePosixPath
from typing import IO, Any, NamedTuple, NoReturn

try:
    from cryptography.exceptions import InvalidSignature
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey
except ImportError:
    HAS_ED25519 = False
else:
    HAS_ED25519 = True

HOLDS, FAILS, UNCHECKED, NOTE = "holds", "DOES NOT HOLD", "not checked", "note"
VERDICTS = (
    "Everything holds.",
    "Something does not hold: do not rely on this, and ask the dealership.",
    "No problems found, but not everything could be checked.",
)

# Every finding: its code, its status, and its sentence.
FINDINGS = {
    # Opening, and the bag
    "opened": (HOLDS, "The bundle can be opened."),
    "not-opened": (FAILS, "{file} cannot be opened: {why}."),
    "not-readable": (FAILS, "{file} cannot be read: {why}."),
    "too-large": (FAILS, "{file} is larger than any such file can be."),
    "not-text": (FAILS, "{file} is not text."),
    "link": (FAILS, "{file} is a link or a device; a bag holds plain files only."),
    "path-unsafe": (FAILS, "The ZIP holds a path that leads elsewhere: “{file}”."),
    "entry-unfit": (FAILS, "{file} in the ZIP is a link, a device or encrypted."),
    "packed-unusually": (FAILS, "{file} in the ZIP is packed in an unusual way."),
    "bomb": (FAILS, "{file} in the ZIP would unpack to far more than it is."),
    "same-name": (FAILS, "The ZIP holds two files of one name: {file}."),
    "several-bags": (FAILS, "The ZIP must hold one folder with the bag in it and nothing else."),
    "bag-complete": (HOLDS, "All {result} files are complete and unchanged."),
    "declaration": (FAILS, "bagit.txt is missing or not exactly as BagIt 1.0 wants it."),
    "fetch": (FAILS, "The bag wants files fetched from elsewhere; all must be in it."),
    "no-manifest": (FAILS, "The bag has no {kind}; nothing proves its files unchanged."),
    "weak-manifest": (FAILS, "{file} is of a kind that proves nothing today."),
    "manifest-line": (FAILS, "{file} has a line that is no digest and file: “{line}”."),
    "manifest-kinds": (FAILS, "A manifest is missing: those of files and tags do not match."),
    "listed-twice": (FAILS, "{manifest} lists {file} twice."),
    "file-missing": (FAILS, "{manifest} lists {file}, which is not in its place in the bag."),
    "file-unlisted": (FAILS, "{file} is in the bag but not in {manifest}."),
    "file-changed": (FAILS, "{file} was changed: its digest is not the one in the manifest."),
    "oxum": (FAILS, "bag-info.txt states Payload-Oxum {stated}; the bag holds {actual}."),
    "zip-as-issued": (HOLDS, "The ZIP is as it was issued."),
    "zip-repacked": (
        FAILS,
        "The ZIP around the files is not as it was issued. If you packed it again yourself, unpack "
        "it and check the folder.",
    ),
    "file-absent": (FAILS, "{file} is not in the bundle."),
    "file-foreign": (FAILS, "{file} has no place in such a bundle."),
    # Keys and signatures
    "no-key": (UNCHECKED, "No key was given; ask the dealership for the key of its log."),
    "key-unreadable": (
        FAILS,
        "This is not a whole verifier key: “{line}”. Copy it again; that says nothing "
        "of the files.",
    ),
    "key-inside": (
        UNCHECKED,
        "Whose key it is: it came with the bundle. Compare it with the one the dealership "
        "publishes, or give that one with --key: {keys}",
    ),
    "keys-inside-differ": (FAILS, "{file} does not list the keys that signed this bundle."),
    "keys-inside-foreign": (FAILS, "{file} lists another key than the one you gave."),
    "no-ed25519": (
        UNCHECKED,
        "The signature of {file} was not checked: this Python lacks the package `cryptography`. "
        "Install it and run this again.",
    ),
    "note-form": (FAILS, "{file} is not text with signature lines under it."),
    "not-base64": (FAILS, "{file} holds what is not base64: “{text}”."),
    "not-hash": (FAILS, "{file} holds what is not a SHA-256 hash: “{text}”."),
    "signature-foreign": (FAILS, "{file} is not signed by the key of this log."),
    "signature-false": (FAILS, "The signature of {file} is false: the text was changed."),
    "checkpoint-read": (
        HOLDS,
        "The checkpoint can be read: {result.size} entries in the log of {result.origin}.",
    ),
    "checkpoint-form": (FAILS, "{file} is not origin, size, root and signature, a line each."),
    "checkpoint-signed": (HOLDS, "The checkpoint is signed with the key of {result}."),
    # What the key signed of a bundle
    "statement-read": (HOLDS, "This is {result.kind} {result.number}, as of {result.moment}."),
    "statement-missing": (FAILS, "{file} is not in the bundle: nothing binds its files."),
    "statement-form": (FAILS, "{file} is not the signed statement of a bundle."),
    "statement-signed": (HOLDS, "The bundle is signed with the key of {result}."),
    "files-signed": (HOLDS, "The files are those that signature.txt names."),
    "files-not-signed": (
        FAILS,
        "The files are not those that signature.txt names: {file} is another one. "
        "A file was changed, left out or put in, and the manifests were made again.",
    ),
    "folder-renamed": (
        UNCHECKED,
        "The folder is called “{actual}”; it was issued as “{stated}”. Give it that name again and "
        "repeat this.",
    ),
    "zip-renamed": (FAILS, "The folder in the ZIP is called “{actual}”; “{stated}” was signed."),
    "cut-differs": (FAILS, "{file} is not the checkpoint that signature.txt is cut at."),
    "no-root": (UNCHECKED, "The events: there is no readable root of the log to hold them to."),
    # Events
    "events-in-log": (HOLDS, "All {result} events stand in the log, unchanged."),
    "events-none": (UNCHECKED, "The bundle holds no events."),
    "events-unequal": (FAILS, "There are not as many events in {file} as proofs of them."),
    "line-unreadable": (FAILS, "Line {line} of {file} is not readable."),
    "event-order": (FAILS, "Line {line} of {file} is not after the one before it."),
    "event-not-in-log": (
        FAILS,
        "Line {line} of {file} is not what the log of {origin} holds as entry {index}, or its "
        "proof in data/proof/inclusion.jsonl was changed.",
    ),
    "event-too-late": (FAILS, "Line {line} of {file} was recorded after the bundle's moment."),
    "streams-complete": (HOLDS, "No event is left out (streams: {result})."),
    "stream-gap": (FAILS, "{file}: of {stream}, the events before version {version} are left out."),
    "stream-short": (FAILS, "{file}: {stream} ends at version {version}; {last} was signed."),
    "stream-missing": (FAILS, "{file}: {stream} is left out."),
    "stream-foreign": (FAILS, "{file}: {stream} does not belong to this bundle."),
    "wording-missing": (FAILS, "{file}: a wording that people signed is left out ({digest})."),
    "wording-false": (FAILS, "{file}: the text of a wording is not the one of its digest."),
    # Files that events name
    "files-named": (HOLDS, "Every photo and certificate is the one that the log names ({result})."),
    "files-left-out": (NOTE, "Photos and certificates were left out, as was asked for."),
    "named-file-erased": (
        NOTE,
        "{file} was erased here for the personal data in it; the log keeps its digest.",
    ),
    "erased-foreign": (FAILS, "{file}: no event names this erased file ({what})."),
    "named-file-absent": (FAILS, "{file}, which an event names, is not in the bundle."),
    "named-file-other": (FAILS, "{file} is not the file that the log names."),
    "named-file-foreign": (FAILS, "{file}: no event names such a file."),
    "named-file-unsure": (
        UNCHECKED,
        "{file}: which file belongs here cannot be told, because events do not hold.",
    ),
    "named-files-unsure": (
        UNCHECKED,
        "{file}: whether a file is left out here cannot be told, because events may be left out.",
    ),
    # Tables and the form
    "table-agrees": (HOLDS, "{file} says what the events say (rows: {result})."),
    "table-unreadable": (FAILS, "{file} is not a table of this kind: {why}."),
    "row-differs": (
        FAILS,
        "{file}, row {row}: {column} is “{shown}”; by the events it is “{right}”.",
    ),
    "row-foreign": (FAILS, "{file}, row {row}: no event says this."),
    "rows-missing": (FAILS, "{file}: {count} rows of unit {unit} are left out."),
    "row-unsure": (
        UNCHECKED,
        "{file}, row {row}: it does not agree with the events that are left, of which some do not "
        "hold.",
    ),
    "form-agrees": (HOLDS, "{file} says what the events say."),
    "form-unreadable": (FAILS, "{file} is not a registration form."),
    "form-differs": (FAILS, "{file}: {field} is “{shown}”; by the events it is “{right}”."),
    "form-unsure": (
        UNCHECKED,
        "{file}: {field} does not agree with the events that are left, of which some do not hold.",
    ),
    "form-digest": (
        FAILS,
        "{file}: name and particulars of the {person} are not those of the digest in the log.",
    ),
    "form-erased": (NOTE, "{file}: the {person} is erased; nothing is left to compare."),
    # What the key alone binds
    "key-alone": (HOLDS, "Bound by the key alone, for the log says nothing of it: {what}."),
    "key-alone-unchecked": (
        UNCHECKED,
        "Bound by the key alone, which is not checked: {what}.",
    ),
    "not-bound": (UNCHECKED, "Bound by nothing now, and perhaps changed: {what}."),
    # Certificates
    "certificate-digest": (HOLDS, "The file has the SHA-256 you gave."),
    "certificate-other": (
        FAILS,
        "{file} is not the file you have the SHA-256 of: its own is {digest}.",
    ),
    "certificate-stated": (
        HOLDS,
        "One statement is made over the whole file: certificate {result.number}, log of "
        "{result.log}.",
    ),
    "certificate-unstated": (
        FAILS,
        "{file} carries no statement over the whole file: anybody may have changed its pages. Ask "
        "the dealership for the file as it was issued.",
    ),
    "certificate-stated-twice": (
        FAILS,
        "{file} carries two statements: one of them was put into it.",
    ),
    "certificate-torn": (FAILS, "The statement in {file} was cut, lengthened or torn apart."),
    "certificate-moved": (FAILS, "The statement in {file} is not where it was written: moved."),
    "certificate-form": (FAILS, "The statement in {file} was changed: it is not well formed."),
    "certificate-key-inside": (
        UNCHECKED,
        "Whose key it is: it came with the certificate. Compare it with the one the dealership "
        "publishes, or give that one with --key: {key}",
    ),
    "certificate-signed": (HOLDS, "The certificate is signed with the key of {result}."),
    "certificate-whole": (
        HOLDS,
        "The whole file is as it was signed: every page, the record and all else in it.",
    ),
    "certificate-cut": (FAILS, "{file} was cut off: its end is missing."),
    "certificate-updated": (
        FAILS,
        "{file} was changed after it was signed: an update was appended to it, and PDF readers "
        "show the update.",
    ),
    "certificate-lengthened": (
        FAILS,
        "{file} was changed after it was signed: bytes were added after its end.",
    ),
    "certificate-changed": (
        FAILS,
        "{file} was changed after it was signed: a page, its record or something else in it is "
        "not as it was issued.",
    ),
    "certificate-standing": (
        NOTE,
        "Whether a newer certificate took its place, or the release was withdrawn, only the "
        "dealership can tell: look the number up at the address its code leads to.",
    ),
    "record-read": (HOLDS, "The record attached to the certificate can be read."),
    "record-unreadable": (FAILS, "The record attached to {file} is missing or cannot be read."),
    "record-of-another": (
        FAILS,
        "The record attached to {file} is of another certificate: {shown}. This one is {right}.",
    ),
    "record-other-log": (FAILS, "The record's proof in {file} is of another log: that of {log}."),
    "record-no-proof": (FAILS, "The proof attached to {file} is not a tlog-proof."),
    "record-proves": (HOLDS, "The certificate's record proves {result}."),
    "entry-not-in-log": (
        FAILS,
        "{file}: entry {index} is not what the log of {origin} holds there.",
    ),
    # Proof of issue, and older checkpoints
    "issue-proven": (HOLDS, "The log names this very file as {result}."),
    "issue-form": (FAILS, "{file} is not a proof of issue."),
    "issue-other": (FAILS, "{file} is of another document: its {field} is not the one of this."),
    "issue-folder": (
        UNCHECKED,
        "A folder was given: the ZIP that the log names was not looked at.",
    ),
    "older-holds": (HOLDS, "The log still holds all {result} entries of the older checkpoint."),
    "older-no-proof": (
        UNCHECKED,
        "The older checkpoint needs its consistency proof; give --proof.",
    ),
    "older-not-held": (
        FAILS,
        "The log of {newer} entries does not continue the one of {older}: entries were changed or "
        "removed, or the proof belongs to other checkpoints.",
    ),
    # What no program can tell from the bundle
    "only-kept-elsewhere": (
        NOTE,
        "Whether whoever has the key wrote the whole log anew shows only by a checkpoint kept "
        "elsewhere (--older). Whether this document was withdrawn or replaced since, only the "
        "dealership can tell: look its number up there.",
    ),
    "service-recomputes": (
        NOTE,
        "The dealership's service recomputes everything from its log, also what is bound here by "
        "the key alone.",
    ),
}
JOINED = {"key-alone", "key-alone-unchecked", "not-bound"}  # printed in one line for all files

BAGIT = b"BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8"
ALGORITHMS = ("sha256", "sha512")
CHUNK = 1 << 16
MANIFEST_LINE = re.compile(r"([0-9a-f]+) {1,2}([^ ].*)")
LARGEST_FILE = 1 << 27  # bytes of a certificate, which is read at once
LARGEST_TEXT = 1 << 24  # bytes of a statement, which is, too
LONGEST_LINE = 1 << 22  # bytes of one event, row or form
MOST_FINDINGS = 1000  # of one code; more are only counted
MOST_EVENTS = 100_000  # of one unit
LARGEST_RATIO = 100  # of what a ZIP unpacks to, to its own size
NUMBER = re.compile("0|[1-9][0-9]{0,17}")
MOST_SHOWN = 80  # characters of a value that a finding shows

README, INFO, DECLARATION = "README.txt", "bag-info.txt", "bagit.txt"
SIGNATURE, TAG_MANIFEST, MANIFEST = "signature.txt", "tagmanifest-sha256.txt", "manifest-sha256.txt"
EVENTS, INCLUSION = "data/events.jsonl", "data/proof/inclusion.jsonl"
CHECKPOINT, KEYS = "data/proof/checkpoint.txt", "data/proof/keys.txt"
CERTIFICATE, CERTIFICATES, PHOTOS = "data/certificate.pdf", "data/certificates/", "data/photos/"
FORM = "data/registration.json"
ERASED = "data/erased.csv"  # files that the dealership erased before it made the bundle
STATEMENT_HEADER = "Yardproof bundle"
LEFT_OUT = "Left-Out: photos, certificates"
OPENING, CLOSING = b"<yardproof-statement>\n", b"</yardproof-statement>\n"  # of a certificate
ROOM = 1024  # bytes between the two
CERTIFICATE_STATEMENT = re.compile(
    "Yardproof certificate\nlog ([^\n]+)\ndocument certificate ([^\n]+)\nfile ([0-9a-f]{64})\n\n"
    "— [^\n]+\n"
)
END_OF_PDF = b"%%EOF\n"
ATTACHMENT, STREAM = re.compile(rb"/Type\s*/EmbeddedFile\b"), re.compile(rb"stream\r?\n")
MOST_ATTACHED = 4  # attached files looked at for the record, which is the first of two
LARGEST_RECORD = 1 << 25
PROOF_HEADER = "c2sp.org/tlog-proof@v1"
TAGS = (README, INFO, DECLARATION, MANIFEST, "verifier.py", "verify.html")
# Files of each kind of bundle; those that grow go on in `…-2`, `…-3`. What neither is compared nor
# checks itself is bound by the key alone.
TABLES = {
    "registration": ("data/readings.csv", "data/sign_offs.csv", "data/flags.csv"),
    "audit": ("data/units.csv", "data/readings.csv", "data/sign_offs.csv", "data/flags.csv"),
}
FURTHER = {
    "registration": (FORM, CERTIFICATE),
    "audit": (),
}
UNCOMPARED = {
    "registration": ("data/registration.pdf", "data/registration.schema.json"),
    "audit": ("data/index.html", "data/findings.csv"),
}
# What is not in the events of a file that is compared with them.
ASIDE = {
    "data/units.csv": ("state",),
    "data/readings.csv": ("section", "title", "asked", "limit", "remarks of readings"),
    "data/sign_offs.csv": ("title", "meaning"),
    "data/flags.csv": ("flag", "how"),
    FORM: (
        "dealer",
        "date",
        "use and topics in words",
        "required_by_model",
        "version",
        "replaces",
        "stands_in_for",
        "stands_in_because",
    ),
}
UNREADABLE = (
    zipfile.BadZipFile,
    OSError,
    EOFError,
    ValueError,
    RuntimeError,
    MemoryError,
    OverflowError,
    LookupError,
    zlib.error,
    struct.error,
)
MALFORMED = (ValueError, KeyError, TypeError, AttributeError, IndexError, RecursionError)


class CheckError(Exception):
    """Raised by a check that does not hold or cannot be made; `code` is one of FINDINGS."""

    def __init__(self, code: str, file: str = "", **values: Any) -> None:
        super().__init__(FINDINGS[code][1].format(file=file, **values))
        self.code, self.file, self.values = code, file, values


class Finding(NamedTuple):
    """One outcome: the first of its code and file, and how many there are."""

    status: str
    code: str
    file: str
    text: str
    times: int = 1


class Findings:
    """Outcomes of the checks: what holds, what does not, what could not be checked."""

    def __init__(self) -> None:
        self._found: dict[tuple[str, str], Finding] = {}
        self._files: dict[str, list[str]] = {}  # by code

    def add(self, code: str, file: str = "", **values: Any) -> None:
        """Note an outcome; of many with one code and file the first is kept, and their number."""
        files = self._files.setdefault(code, [])
        if len(files) >= MOST_FINDINGS:
            file = files[-1]
        before = self._found.get((code, file))
        if before:
            self._found[code, file] = before._replace(times=before.times + 1)
        else:
            status, text = FINDINGS[code]
            text = text.format(file=file, **values)
            self._found[code, file] = Finding(status, code, file, text)
            files.append(file)

    def error(self, error: CheckError) -> None:
        """Note the outcome that a check raised."""
        self.add(error.code, error.file, **error.values)

    def run(self, holds: str, check: Callable[[], Any], file: str = "") -> Any:
        """Run one check and note its outcome; gives its result, or None when it failed."""
        try:
            result = check()
        except CheckError as error:
            self.error(error)
            return None
        except (*UNREADABLE, *MALFORMED) as error:
            self.add("not-readable", file, why=_reason(error))
            return None
        self.add(holds, file, result=result)
        return result

    def all(self) -> list[Finding]:
        """Every outcome, in the order of the checks."""
        return list(self._found.values())

    def fails(self) -> bool:
        """Whether something does not hold."""
        return any(found.status == FAILS for found in self.all())

    @property
    def lines(self) -> list[tuple[str, str]]:
        """Status and sentence of each outcome, for a person to read."""
        lines: dict[tuple[str, str], tuple[str, str]] = {}
        for found in self.all():
            if found.code in JOINED:
                start = len(FINDINGS[found.code][1].partition("{")[0])
                named = [one.text[start:-1] for one in self.all() if one.code == found.code]
                text = f"{found.text[:start]}{', '.join(named)}."
                lines[found.code, ""] = (found.status, text)
            else:
                more = f" (and {found.times - 1} more)" if found.times > 1 else ""
                lines[found.code, found.file] = (found.status, found.text + more)
        return list(lines.values())

    @property
    def exit_code(self) -> int:
        """0 all holds, 1 something does not, 2 not all could be checked."""
        kinds = {found.status for found in self.all()}
        return 1 if FAILS in kinds else 2 if UNCHECKED in kinds else 0


def _reason(error: BaseException) -> str:
    return str(error).rstrip(".") or type(error).__name__


def _shown(value: Any) -> str:
    text = value if isinstance(value, str) else json.dumps(value, ensure_ascii=False, default=str)
    return text if len(text) <= MOST_SHOWN else text[:MOST_SHOWN] + "…"


# The files of a bag, packed or not


class Files:
    """The files of one bag: names relative to its folder, and their contents."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.archive: zipfile.ZipFile | None = None
        if path.is_dir():
            self.folder = path.resolve().name
            self.names = sorted(_files_below(path))
        else:
            self.archive, self.folder, self.names = _opened_zip(path)
        self._known = set(self.names)

    def __contains__(self, name: str) -> bool:
        return name in self._known

    def close(self) -> None:
        """Close the ZIP."""
        if self.archive:
            self.archive.close()

    def open(self, name: str) -> IO[bytes]:
        """One file, to be read from its start."""
        if self.archive is None:
            return (self.path / name).open("rb")
        return self.archive.open(f"{self.folder}/{name}")

    def pieces(self, name: str, longest_line: int = 0) -> Iterator[bytes]:
        """Contents of one file: in chunks, or in lines of at most so many bytes."""
        if name not in self:
            raise CheckError("file-absent", name)
        try:
            with self.open(name) as source:
                while (
                    piece := source.readline(longest_line) if longest_line else source.read(CHUNK)
                ):
                    if longest_line and len(piece) == longest_line:
                        raise CheckError("too-large", name)
                    yield piece
        except UNREADABLE as error:
            raise CheckError("not-readable", name, why=_reason(error)) from None

    def parts(self, name: str) -> list[str]:
        """A file and its further parts, as far as they are there: `a.csv`, `a-2.csv` …"""
        stem, _, ending = name.rpartition(".")
        found = [name]
        while (further := f"{stem}-{len(found) + 1}.{ending}") in self:
            found.append(further)
        return found

    def content(self, name: str, largest: int) -> bytes:
        """A file that fits into memory."""
        pieces, size = [], 0
        for piece in self.pieces(name):
            size += len(piece)
            if size > largest:
                raise CheckError("too-large", name)
            pieces.append(piece)
        return b"".join(pieces)

    def text(self, name: str) -> str:
        """A text file that fits into memory."""
        return _decoded(self.content(name, LARGEST_TEXT), name)


def _decoded(held: bytes, name: str) -> str:
    try:
        return held.decode()
    except UnicodeDecodeError:
        raise CheckError("not-text", name) from None


def _files_below(path: Path) -> Iterator[str]:
    for folder, folders, names in os.walk(path):
        for name in (*folders, *names):
            place = Path(folder) / name
            kind = place.lstat().st_mode
            if not stat.S_ISDIR(kind) and not stat.S_ISREG(kind):
                raise CheckError("link", place.relative_to(path).as_posix())
            if name in names:
                yield place.relative_to(path).as_posix()


def _opened_zip(path: Path) -> tuple[zipfile.ZipFile, str, list[str]]:
    try:
        archive = zipfile.ZipFile(path)
        listed = archive.infolist()
    except UNREADABLE as error:
        raise CheckError("not-opened", path.name, why=_reason(error)) from None
    names: set[str] = set()
    for entry in listed:
        _check_entry(entry)
        if entry.filename in names:
            raise CheckError("same-name", entry.filename)
        names.add(entry.filename)
    size = path.stat().st_size
    unpacked = sum(entry.file_size for entry in listed)
    if sum(entry.compress_size for entry in listed) > size or unpacked > LARGEST_RATIO * size:
        raise CheckError("bomb", path.name)
    folders = {name.partition("/")[0] for name in names}
    if len(folders) != 1 or any("/" not in name for name in names):
        raise CheckError("several-bags", path.name)
    folder = folders.pop()
    files = [e.filename[len(folder) + 1 :] for e in listed if not e.is_dir()]
    return archive, folder, files


def _check_entry(entry: zipfile.ZipInfo) -> None:
    name, mode = entry.filename, entry.external_attr >> 16
    if not _is_safe(name[:-1] if name.endswith("/") else name):
        raise CheckError("path-unsafe", name)
    if mode & 0o170000 not in {0, 0o100000, 0o040000} or entry.flag_bits & 1:
        raise CheckError("entry-unfit", name)
    if entry.compress_type not in {zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED}:
        raise CheckError("packed-unusually", name)
    if entry.file_size > 1000 * entry.compress_size + CHUNK:
        raise CheckError("bomb", name)


def _is_safe(path: str) -> bool:
    parts = path.split("/")
    leads_out = path.startswith("~") or "\\" in path or ":" in parts[0]
    return not leads_out and not any(part in {"", ".", ".."} for part in parts)


class _Comparison:
    """File-like object that compares what is written to it with an existing file."""

    def __init__(self, there: IO[bytes], name: str) -> None:
        self.there, self.file = there, name
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
            raise CheckError("zip-repacked", self.file)
        self.there.seek(start + len(data))
        return len(data)

    def __getattr__(self, name: str) -> Any:
        return getattr(self.there, name)


# The bag: BagIt 1.0 (RFC 8493), and stricter


class Bag:
    """A bag's files against its manifests; `digests` has the SHA-256 of each file that was read.

    Stricter than the standard, so that any changed byte shows: every file beside the payload is
    listed in every tag manifest, and a manifest has one spelling. Nothing is fetched. The one file
    that no manifest lists is the signature over them.
    """

    def __init__(self, files: Files) -> None:
        self.files = files
        self.digests: dict[str, str] = {}
        self.payload = {name for name in files.names if name.startswith("data/")}
        self.tags = {name for name in set(files.names) - self.payload if _is_listed_tag(name)}

    def check(self) -> int:
        """Number of payload files of a bag that is complete and unchanged; CheckError otherwise."""
        for fault in self.faults():
            raise fault
        return len(self.payload)

    def faults(self) -> Iterator[CheckError]:
        """Everything that makes the bag incomplete or changed."""
        yield from self._declaration_faults()
        sizes: dict[str, int] = {}
        yield from self._manifest_faults("manifest", self.payload, sizes)
        octets = sum(sizes.values())
        yield from self._manifest_faults("tagmanifest", self.tags, sizes)
        if self._algorithms("manifest") != self._algorithms("tagmanifest"):
            yield CheckError("manifest-kinds", TAG_MANIFEST)
        yield from self._oxum_faults(f"{octets}.{len(self.payload)}")

    def _declaration_faults(self) -> Iterator[CheckError]:
        try:
            held = self.files.content(DECLARATION, LONGEST_LINE)
        except CheckError:
            held = b""
        if held not in {BAGIT, BAGIT + b"\n"}:
            yield CheckError("declaration", DECLARATION)
        if "fetch.txt" in self.files:
            yield CheckError("fetch", "fetch.txt")

    def _manifest_faults(
        self, kind: str, expected: set[str], sizes: dict[str, int]
    ) -> Iterator[CheckError]:
        """Faults of the manifests of a kind: each lists each expected file once, as it is."""
        listed: dict[str, dict[str, str]] = {name: {} for name in expected}
        manifests = [name for name in self.files.names if name.startswith(f"{kind}-")]
        if not manifests:
            yield CheckError("no-manifest", f"{kind}-sha256.txt", kind=kind)
        for manifest in manifests:
            algorithm = manifest[len(kind) + 1 :].partition(".txt")[0]
            if manifest != f"{kind}-{algorithm}.txt" or algorithm not in ALGORITHMS:
                yield CheckError("weak-manifest", manifest)
                continue
            yield from self._line_faults(manifest, algorithm, listed)
            for name in sorted(
                name for name, digests in listed.items() if algorithm not in digests
            ):
                yield CheckError("file-unlisted", name, manifest=manifest)
        for name, digests in sorted(listed.items()):
            yield from self._digest_faults(name, digests, sizes)

    def _line_faults(
        self, manifest: str, algorithm: str, listed: dict[str, dict[str, str]]
    ) -> Iterator[CheckError]:
        try:
            lines = self.files.pieces(manifest, LONGEST_LINE)
            for held in chain([next(lines, b"")], lines):  # an empty one lists nothing
                line = _decoded(held[:-1] if held.endswith(b"\n") else held, manifest)
                entry = MANIFEST_LINE.fullmatch(line)
                if not entry:
                    raise CheckError("manifest-line", manifest, line=_shown(line))
                name = re.sub("%(0A|0D|25)", lambda code: chr(int(code[1], 16)), entry[2])
                if name not in listed:
                    yield CheckError("file-missing", name, manifest=manifest)
                elif algorithm in listed[name]:
                    yield CheckError("listed-twice", name, manifest=manifest)
                else:
                    listed[name][algorithm] = entry[1]
        except CheckError as error:
            yield error

    def _digest_faults(
        self, name: str, digests: dict[str, str], sizes: dict[str, int]
    ) -> Iterator[CheckError]:
        running = {algorithm: hashlib.new(algorithm) for algorithm in {"sha256", *digests}}
        sizes[name] = 0
        try:
            for piece in self.files.pieces(name):
                sizes[name] += len(piece)
                for digest in running.values():
                    digest.update(piece)
        except CheckError as error:
            yield error
            return
        self.digests[name] = running["sha256"].hexdigest()
        if any(running[algorithm].hexdigest() != held for algorithm, held in digests.items()):
            yield CheckError("file-changed", name)

    def _algorithms(self, kind: str) -> set[str]:
        return {n[len(kind) :] for n in self.files.names if n.startswith(f"{kind}-")}

    def _oxum_faults(self, actual: str) -> Iterator[CheckError]:
        if INFO not in self.files:
            return
        try:
            lines = self.files.text(INFO).split("\n")
        except CheckError as error:
            yield error
            return
        stated = [line[14:] for line in lines if line.startswith("Payload-Oxum: ")]
        if stated and stated != [actual]:
            yield CheckError("oxum", INFO, stated=_shown(stated[0]), actual=actual)


def _is_listed_tag(name: str) -> bool:
    return name != SIGNATURE and not name.startswith("tagmanifest-")


def check_wrapper(path: Path, files: Files) -> None:
    """Check that a ZIP is byte for byte what packing its files gives; CheckError otherwise."""
    with path.open("rb") as there:
        comparison = _Comparison(there, path.name)
        with zipfile.ZipFile(comparison, "w") as again:
            for name in files.names:
                plain = zipfile.ZipInfo(f"{files.folder}/{name}", (1980, 1, 1, 0, 0, 0))
                plain.create_system, plain.external_attr = 3, 0o100644 << 16
                with again.open(plain, "w") as sink:
                    for piece in files.pieces(name):
                        sink.write(piece)
        if comparison.wrong or there.read(1):
            raise CheckError("zip-repacked", path.name)


# The log: RFC 6962 tree, signed notes (C2SP signed-note, tlog-checkpoint, tlog-proof)


class Checkpoint(NamedTuple):
    """A log's name, number of entries and root, as signed in `note`."""

    origin: str
    size: int
    root: bytes
    note: str


def node_hash(left: bytes, right: bytes) -> bytes:
    """SHA-256 over 0x01 and two hashes (RFC 6962 2.1)."""
    return hashlib.sha256(b"\x01" + left + right).digest()


def is_included(index: int, data: bytes, path: Iterable[bytes], log: Checkpoint) -> bool:
    """Whether entry `data` stands at `index` under the checkpoint (RFC 9162 2.1.3.2)."""
    held = hashlib.sha256(b"\x00" + data).digest()
    position, last = index, log.size - 1
    for sibling in path:
        if position % 2 or position == last:
            held = node_hash(sibling, held)
            while position % 2 == 0 and position:
                position, last = position // 2, last // 2
        else:
            held = node_hash(held, sibling)
        position, last = position // 2, last // 2
    return 0 <= index < log.size and not last and held == log.root


def check_consistency(older: Checkpoint, newer: Checkpoint, path: list[bytes]) -> None:
    """Check that the newer log only adds to the older one (RFC 9162 2.1.4.2)."""
    fault = CheckError("older-not-held", older=older.size, newer=newer.size)
    if older.origin != newer.origin:
        raise fault
    if older.size == newer.size and not path and older.root == newer.root:
        return
    if not (0 < older.size < newer.size and path):
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


def read_checkpoint(note: str, file: str = CHECKPOINT) -> Checkpoint:
    """Checkpoint from a signed note (C2SP tlog-checkpoint); its signature is not looked at.

    Lines after the root are extensions, which a reader passes over.
    """
    text, _, signatures = note.rpartition("\n\n")
    lines = text.split("\n")
    if not (signatures and len(lines) >= 3 and all(lines) and NUMBER.fullmatch(lines[1])):
        raise CheckError("checkpoint-form", file)
    return Checkpoint(lines[0], int(lines[1]), _hash(lines[2], file), note)


def check_signature(note: str, keys: list[str], file: str) -> str:
    """Name of the key, one of `keys`, that signed a note (C2SP signed-note, Ed25519)."""
    if not keys:
        raise CheckError("no-key", file)
    text, _, block = note.rpartition("\n\n")
    lines = block[:-1].split("\n")
    signatures = [line.split(" ") for line in lines]
    if not block.endswith("\n") or any(len(s) != 3 or s[0] != "—" for s in signatures):
        raise CheckError("note-form", file)
    for name, public in [_key(key) for key in keys]:
        for _, signer, encoded in signatures:
            held = _bytes(encoded, file)
            if signer == name and held[:4] == _key_id(name, b"\x01" + public):
                _check_ed25519(public, held[4:], text.encode() + b"\n", file)
                return name
    raise CheckError("signature-foreign", file)


def _check_ed25519(public: bytes, signature: bytes, text: bytes, file: str) -> None:
    if not HAS_ED25519:
        raise CheckError("no-ed25519", file)
    try:
        Ed25519PublicKey.from_public_bytes(public).verify(signature, text)
    except InvalidSignature:
        raise CheckError("signature-false", file) from None


def _key(line: str) -> tuple[str, bytes]:
    name, _, rest = line.partition("+")
    key_id, _, encoded = rest.partition("+")
    try:
        public = _bytes(encoded, "")
        is_whole = len(public) == 33 and public[:1] == b"\x01"
        is_whole = is_whole and _key_id(name, public).hex() == key_id
    except (CheckError, UnicodeEncodeError):
        is_whole = False
    if not is_whole:
        raise CheckError("key-unreadable", line=_shown(line))
    return name, public[1:]


def _key_id(name: str, public: bytes) -> bytes:
    """First four bytes of the hash over name and key, with the key's kind before it."""
    return hashlib.sha256(name.encode() + b"\n" + public).digest()[:4]


def _bytes(text: Any, file: str) -> bytes:
    try:
        held = base64.b64decode(text, validate=True)
    except (ValueError, TypeError):
        held = b""
    if not held or base64.b64encode(held).decode() != text:
        raise CheckError("not-base64", file, text=_shown(text))
    return held


def _hash(text: Any, file: str) -> bytes:
    held = _bytes(text, file)
    if len(held) != 32:
        raise CheckError("not-hash", file, text=_shown(text))
    return held


def read_json(text: str) -> Any:
    """JSON in one reading only: no key twice, no NaN, no number longer than any of ours.

    Raises ValueError or RecursionError.
    """
    return json.loads(
        text,
        object_pairs_hook=_once,
        parse_constant=_no_number,
        parse_int=_integer,
        parse_float=_real,
    )


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    held = dict(pairs)
    if len(held) != len(pairs):
        raise ValueError("a name stands there twice")
    return held


def _no_number(text: str) -> NoReturn:
    raise ValueError(f"{text} is no number")


def _integer(text: str) -> int:
    if len(text) > 19:
        raise ValueError("a number is too long")
    return int(text)


def _real(text: str) -> float:
    if len(text) > 40:
        raise ValueError("a number is too long")
    return float(text)


# What the log's key signed of a bundle


class Statement(NamedTuple):
    """The signed statement of a bundle; `note` is the whole of it with its signature."""

    log: str
    kind: str
    number: str
    size: int
    root: bytes
    until: str
    bag: str
    tagmanifest: str
    streams: dict[tuple[str, str], int]
    note: str

    @property
    def moment(self) -> str:
        """Up to when the bundle tells, in words."""
        return self.until or f"the first {self.size} entries of the log"


def read_statement(note: str) -> Statement:
    """Statement of a bundle from `signature.txt`; its signature is not looked at."""
    fault = CheckError("statement-form", SIGNATURE)
    text, _, signatures = note.rpartition("\n\n")
    header, *lines = text.split("\n")
    if header != STATEMENT_HEADER or not signatures or len(lines) < 6:
        raise fault
    log, document, cut, until, bag, tagmanifest = (
        _labeled(line, label)
        for line, label in zip(lines, ("log", "document", "cut", "until", "bag", "tagmanifest"))
    )
    (kind, number), (size, root) = _two(document), _two(cut)
    if (
        kind not in TABLES
        or not NUMBER.fullmatch(size)
        or not re.fullmatch("[0-9a-f]{64}", tagmanifest)
    ):
        raise fault
    streams = [_stream(_labeled(line, "stream")) for line in lines[6:]]
    if [stream for stream, _ in streams] != sorted({stream for stream, _ in streams}):
        raise fault
    moment = "" if until == "-" else until
    return Statement(
        log,
        kind,
        number,
        int(size),
        _hash(root, SIGNATURE),
        moment,
        bag,
        tagmanifest,
        dict(streams),
        note,
    )


def _labeled(line: str, label: str) -> str:
    start, space, value = line.partition(" ")
    if start != label or not space or not value:
        raise CheckError("statement-form", SIGNATURE)
    return value


def _two(text: str) -> tuple[str, str]:
    first, space, second = text.partition(" ")
    if not space or not second or " " in second:
        raise CheckError("statement-form", SIGNATURE)
    return first, second


def _stream(text: str) -> tuple[tuple[str, str], int]:
    stream, _, last = text.rpartition(" ")
    kind, id_ = _two(stream)
    if kind not in {"unit", "wording"} or not NUMBER.fullmatch(last):
        raise CheckError("statement-form", SIGNATURE)
    return (kind, id_), int(last)


# Events of the log, and what they say of a unit


class Spool:
    """Lines of many streams on a disk, found again stream by stream, in order.

    Each line is kept with the place of the one before it, so that memory holds one number a stream.
    """

    HEAD = struct.Struct("<qq")

    def __init__(self) -> None:
        self._file = tempfile.SpooledTemporaryFile(max_size=1 << 26)  # noqa: SIM115  # for its whole life
        self._last: dict[str, int] = {}
        self._end = 0

    def add(self, stream: str, line: bytes) -> None:
        """Keep a line."""
        self._file.seek(self._end)
        self._file.write(self.HEAD.pack(self._last.get(stream, -1), len(line)) + line)
        self._last[stream] = self._end
        self._end += self.HEAD.size + len(line)

    def close(self) -> None:
        """Give the disk back."""
        self._file.close()

    def of(self, stream: str) -> list[bytes]:
        """Lines of a stream, oldest first."""
        lines, place = [], self._last.get(stream, -1)
        while place >= 0:
            self._file.seek(place)
            place, size = self.HEAD.unpack(self._file.read(self.HEAD.size))
            lines.append(self._file.read(size))
        return lines[::-1]


def _text(holder: Any, name: str) -> str:
    """A text member, empty where there is none."""
    value = holder.get(name) if isinstance(holder, dict) else None
    return value if isinstance(value, str) else ""


def _dict(holder: Any, name: str) -> dict[str, Any]:
    value = holder.get(name) if isinstance(holder, dict) else None
    return value if isinstance(value, dict) else {}


def _list(holder: Any, name: str) -> list[Any]:
    value = holder.get(name) if isinstance(holder, dict) else None
    return value if isinstance(value, list) else []


Cells = dict[str, str]


class Unit:
    """What a unit's events say, as far as the tables and the form of a bundle repeat it."""

    def __init__(self, id_: str) -> None:
        self.id = id_
        self.readings: dict[str, Cells] = {}
        self.boxes: dict[str, dict[tuple[str, str], str]] = {}  # by step, entries that stand
        self.signed: dict[str, dict[str, int]] = {}  # by step and meaning, versions that stand
        self.sign_offs: dict[int, Cells] = {}  # by version
        self.flags: dict[str, Cells] = {}
        self.released: Cells = {}  # the newest release's row
        self.received: dict[str, Any] = {}
        self.release: dict[str, Any] = {}
        self.handover: dict[str, Any] = {}
        self.handover_at = -1
        self.model: dict[str, Any] = {}
        self.options: list[Any] = []
        self.sheet: dict[str, Any] = {}
        self.buyer: dict[str, Any] = {}
        self.tractor: dict[str, Any] = {}
        self.photos: list[dict[str, Any]] = []
        self.documents: list[dict[str, Any]] = []
        self.maker = self.serial = ""
        self.version = 0

    def apply(self, index: int, event: dict[str, Any]) -> None:
        """Take in the next event of the unit."""
        self.version += 1
        body = _dict(event, "body")
        take = _TAKES.get(_text(event, "kind"))
        if take:
            take(self, event, body)
        if take is Unit.hand_over:
            self.handover_at = index
        self.reopen([step for step in _list(body, "reopened") if isinstance(step, str)])

    def receive(self, event: dict[str, Any], body: dict[str, Any]) -> None:
        """The unit came."""
        self.received = event
        self.correct_plate(event, body)
        self.model, self.options = _dict(body, "model"), _list(body, "options")

    def correct_plate(self, event: dict[str, Any], body: dict[str, Any]) -> None:
        """Its plate was read, or read again; every row gives what it says by the cut."""
        self.maker, self.serial = _text(body, "maker"), _text(body, "serial")

    def assign_model(self, event: dict[str, Any], body: dict[str, Any]) -> None:
        """Its model was set."""
        self.model, self.options = _dict(body, "model"), _list(body, "options")

    def assign_buyer(self, event: dict[str, Any], body: dict[str, Any]) -> None:
        """It was sold, or the buyer's details were corrected."""
        self.buyer = _dict(body, "buyer")
        self.tractor = _dict(body, "tractor") or self.tractor

    def withdraw_buyer(self, event: dict[str, Any], body: dict[str, Any]) -> None:
        """The sale was canceled."""
        self.buyer = self.tractor = {}

    def set_sheet(self, event: dict[str, Any], body: dict[str, Any]) -> None:
        """It got its procedure, or a newer revision of it."""
        self.sheet = body

    def read(self, event: dict[str, Any], body: dict[str, Any]) -> None:
        """A reading was taken, a check made or a tool's setting checked."""
        kind = next((kind for kind in ("check", "setting") if kind in body), "reading")
        id_ = _text(body, kind)
        box = (_text(body, "step"), _text(body, "line"), _text(body, "position"))
        self.readings[id_] = {
            "entry": id_,
            **dict(zip(("step", "line", "position"), box)),
            **_CELLS[kind](body),
            **_author_cells(event),
            **_source_cells(body),
        }
        self.boxes.setdefault(box[0], {})[box[1:]] = id_

    def sign(self, event: dict[str, Any], body: dict[str, Any]) -> None:
        """A step was signed."""
        step, meaning = _text(body, "step"), _text(body, "meaning")
        standing = self.signed.setdefault(step, {})
        self.sign_offs.pop(standing.get(meaning, 0), None)
        self._sign_off(event, step, meaning, _text(body, "content"))
        standing[meaning] = self.version

    def release_it(self, event: dict[str, Any], body: dict[str, Any]) -> None:
        """It was released."""
        self.end_release(event, {})
        self.release = event
        self.released = self._sign_off(event, "", "released", _text(body, "content"))

    def end_release(self, event: dict[str, Any], body: dict[str, Any]) -> None:
        """The release was withdrawn, and steps are to be done again."""
        self.release = {}
        self.released["stands"] = "no"
        self.reopen([step for step in _list(body, "steps") if isinstance(step, str)])

    def hand_over(self, event: dict[str, Any], body: dict[str, Any]) -> None:
        """It was handed over."""
        self.handover = event
        self._sign_off(event, "", "handed-over", _text(body, "recipient_digest"))

    def _sign_off(self, event: dict[str, Any], step: str, meaning: str, content: str) -> Cells:
        cells = {
            "step": step,
            "meaning token": meaning,
            "person": _text(event, "actor"),
            "name": _text(event, "name"),
            "happened": _text(event, "happened"),
            "stands": "yes",
            "content sha256": content,
        }
        self.sign_offs[self.version] = cells
        return cells

    def reopen_step(self, event: dict[str, Any], body: dict[str, Any]) -> None:
        """A step is to be done again."""
        self.reopen([_text(body, "step")])

    def reopen(self, steps: list[str]) -> None:
        """Entries and signatures of steps count no more."""
        for step in steps:
            for version in self.signed.pop(step, {}).values():
                self.sign_offs[version]["stands"] = "no"
            self.boxes.pop(step, None)

    def flag(self, event: dict[str, Any], body: dict[str, Any]) -> None:
        """Something was flagged."""
        self.flags[_text(body, "flag")] = {
            "origin": _text(body, "origin"),
            "entry": _text(body, "reading"),
            "step": _text(body, "step"),
            "line": _text(body, "line"),
            "position": _text(body, "position"),
            "raised": _text(event, "happened"),
            "raised by": _text(event, "name"),
            "closed": "",
            "closed by": "",
            "closed as": "",
            "closing entry": "",
            "concession": "",
        }

    def close(self, event: dict[str, Any], body: dict[str, Any]) -> None:
        """A flag was closed, or accepted with a reason."""
        is_concession = "concession" in body
        self.flags[_text(body, "flag")].update(
            {
                "closed": _text(event, "happened"),
                "closed by": _text(event, "name"),
                "closed as": "concession" if is_concession else _text(body, "how"),
                "closing entry": _text(body, "reading"),
                "concession": _text(body, "reason") if is_concession else "",
            }
        )

    def photograph(self, event: dict[str, Any], body: dict[str, Any]) -> None:
        """A photo was attached."""
        self.photos.append(body)

    def issue(self, event: dict[str, Any], body: dict[str, Any]) -> None:
        """A document was issued."""
        self.documents.append(body)

    def reading_rows(self) -> dict[str, Cells]:
        """Cells of each entry, by its id."""
        standing = {id_ for entries in self.boxes.values() for id_ in entries.values()}
        for id_, cells in self.readings.items():
            cells["stands"] = "yes" if id_ in standing else "no"
        return {id_: {**self._plate(), **cells} for id_, cells in self.readings.items()}

    def sign_off_rows(self) -> dict[str, Cells]:
        """Cells of each signature, by its number."""
        return {
            str(number): {**self._plate(), **cells}
            for number, cells in enumerate(self.sign_offs.values())
        }

    def flag_rows(self) -> dict[str, Cells]:
        """Cells of each flag, by its number."""
        return {
            str(number): {**self._plate(), **cells}
            for number, cells in enumerate(self.flags.values())
        }

    def _plate(self) -> Cells:
        return {"unit": self.id, "serial": self.serial}

    def unit_rows(self) -> dict[str, Cells]:
        """Cells of the unit's one row."""
        revision = self.sheet.get("revision")
        open_flags = sum(not cells["closed"] for cells in self.flags.values())
        cells = {
            "unit": self.id,
            "maker": self.maker,
            "serial": self.serial,
            "model": _text(self.model, "code"),
            "model name": _text(self.model, "name"),
            "procedure": _text(self.sheet, "procedure"),
            "revision": str(revision) if revision else "",
            "received": _text(self.received, "happened"),
            "released": _text(self.release, "happened"),
            "handed over": _text(self.handover, "happened"),
            "registration due": _text(_dict(self.handover, "body"), "registration_due"),
            "open flags": str(open_flags),
            "events": str(self.version),
        }
        return {"0": cells}


_TAKES: dict[str, Callable[[Unit, dict[str, Any], dict[str, Any]], None]] = {
    "unit.received": Unit.receive,
    "unit.plate_corrected": Unit.correct_plate,
    "unit.model_assigned": Unit.assign_model,
    "unit.model_corrected": Unit.assign_model,
    "unit.buyer_assigned": Unit.assign_buyer,
    "unit.buyer_amended": Unit.assign_buyer,
    "unit.buyer_withdrawn": Unit.withdraw_buyer,
    "sheet.started": Unit.set_sheet,
    "sheet.moved": Unit.set_sheet,
    "reading.taken": Unit.read,
    "check.completed": Unit.read,
    "setting.checked": Unit.read,
    "step.signed": Unit.sign,
    "step.reopened": Unit.reopen_step,
    "unit.released": Unit.release_it,
    "unit.reopened": Unit.end_release,
    "unit.joined_into": Unit.end_release,
    "unit.handed_over": Unit.hand_over,
    "flag.raised": Unit.flag,
    "flag.closed": Unit.close,
    "concession.granted": Unit.close,
    "photo.attached": Unit.photograph,
    "document.issued": Unit.issue,
}


def _check_cells(body: dict[str, Any]) -> Cells:
    answer = body.get("answer") is True
    columns = (*_VALUES, *_WEIGHTS, *_SETTING, *_LIMITS, *_INSTRUMENT, "remark tokens")
    empty = dict.fromkeys(columns, "")
    return {
        **empty,
        "as typed": "yes" if answer else "no",
        "verdict": "answered-yes" if answer else "answered-no",
        "remarks": _text(body, "note"),
    }


# Columns of readings.csv, and the members of a reading they repeat.
_VALUES = {
    "value unit": "unit",
    "canonical value": "canonical",
    "canonical unit": "canonical_unit",
}
_WEIGHTS = {
    "expanded uncertainty": "expanded_uncertainty",
    "uncertainty at low limit": "uncertainty_low",
    "uncertainty at high limit": "uncertainty_high",
    "conformance probability": "probability",
}
_SET_TO = {"set to": "value", "set to unit": "unit"}
_COUNTS = {"fasteners": "fasteners", "gone over": "checked", "moved": "moved"}
_SETTING = {**_SET_TO, **_COUNTS}
_LIMITS = {
    "limit low": "low",
    "limit high": "high",
    "limit source": "source",
    "limit basis": "basis",
    "decision rule": "decision",
}
_INSTRUMENT = {"instrument": "code", "instrument name": "name", "calibration due": "due"}


def _reading_cells(body: dict[str, Any]) -> Cells:
    return {
        **_entered_cells(body),
        **dict.fromkeys(_SETTING, ""),
        "value": _text(body, "choice") or _text(body, "value"),
        **{column: _text(body, name) for column, name in _VALUES.items()},
    }


def _setting_cells(body: dict[str, Any]) -> Cells:
    """What a tool was set to: nobody measured it, so it is no value."""
    return {
        **_entered_cells(body),
        **dict.fromkeys(("value", *_VALUES), ""),
        **{column: _text(body, name) for column, name in _SET_TO.items()},
        **{column: f"{body.get(name)}" for column, name in _COUNTS.items()},
    }


_CELLS = {"check": _check_cells, "setting": _setting_cells, "reading": _reading_cells}


def _entered_cells(body: dict[str, Any]) -> Cells:
    limit, instrument = _dict(body, "limit"), _dict(body, "instrument")
    remarks = _list(body, "remarks")
    return {
        "as typed": _text(body, "raw"),
        "verdict": _text(body, "verdict"),
        **{column: _text(body, name) for column, name in _WEIGHTS.items()},
        **{column: _text(limit, name) for column, name in _LIMITS.items()},
        **{column: _text(instrument, name) for column, name in _INSTRUMENT.items()},
        "remark tokens": "; ".join(_remark(one) for one in remarks),
        **({} if remarks else {"remarks": ""}),
    }


# Members of a remark that stand behind its token.
_REMARKS = {
    "late": ("minutes",),
    "same-as": ("seconds", "position"),
    "differs": ("about", "held"),
    "contradicts": ("expected", "unit"),
}


def _remark(remark: Any) -> str:
    token = _text(remark, "remark")
    members = (f"{remark.get(name)}" for name in _REMARKS.get(token, ()))
    return " ".join((token, *members))


def _author_cells(event: dict[str, Any]) -> Cells:
    named = _dict(event, "named")
    return {
        "person": _text(event, "actor"),
        "name": _text(event, "name"),
        "happened": _text(event, "happened"),
        "recorded": _text(event, "recorded"),
        "named by device (id)": _text(named, "id"),
        "named by device": _text(named, "name"),
    }


def _source_cells(body: dict[str, Any]) -> Cells:
    paper = _dict(body, "paper")
    return {
        "supersedes": _text(body, "supersedes"),
        "reason": _text(body, "reason"),
        "copied from paper": "yes" if body.get("copied_from_paper") else "no",
        "written by (id)": _text(paper, "writer"),
        "written by": _text(paper, "writer_name"),
        "picture of the paper (SHA-256)": _text(paper, "digest"),
    }


def _event(data: bytes) -> dict[str, Any]:
    """An event with the members that every one has."""
    event: dict[str, Any] = read_json(data.decode())
    texts = [event[name] for name in ("stream", "id", "recorded")]
    if type(event["version"]) is not int or not all(isinstance(text, str) for text in texts):
        raise TypeError
    return event


def _proof(data: bytes) -> tuple[int, list[bytes]]:
    """Place of an event in the log, and the hashes from it to the root."""
    place = read_json(data.decode())
    if type(place["index"]) is not int:  # true counts as 1 in Python and stands for no place
        raise TypeError
    return place["index"], [_hash(one, INCLUSION) for one in place["path"]]


class Events:
    """The events of a bundle: each held to the log, each stream to its end.

    `unsure` are the units of which an event does not hold or is left out, so that what the bundle
    says of them cannot be compared with certainty.
    """

    def __init__(self, files: Files, log: Checkpoint, until: str, findings: Findings) -> None:
        self.files, self.log, self.until, self.findings = files, log, until, findings
        self.last: dict[tuple[str, str], int] = {}
        self.unsure: set[str] = set()
        self.wordings: set[str] = set()  # named by events
        self.spool = Spool()
        self.count = self.faulty = 0

    def read(self) -> None:
        """Check every event with its proof, and keep those of units that hold."""
        before = -1
        proofs = self._lines(INCLUSION)
        for number, (found, proof) in enumerate(zip_longest(self._lines(EVENTS), proofs), 1):
            if found is None or proof is None:
                raise CheckError("events-unequal", EVENTS)
            file, event = found
            before = self._take(number, file, event, proof[1], before)
        if not self.count:
            raise CheckError("events-none", EVENTS)

    def _lines(self, name: str) -> Iterator[tuple[str, bytes]]:
        for part in self.files.parts(name):
            for line in self.files.pieces(part, LONGEST_LINE):
                yield part, line[:-1] if line.endswith(b"\n") else line

    def _take(self, number: int, file: str, data: bytes, proof: bytes, before: int) -> int:
        """Check one event; returns its place in the log, or the one before where it has none."""
        self.count += 1
        event = self._read(number, file, lambda: _event(data))
        place = self._read(number, INCLUSION, lambda: _proof(proof))
        if event is None or place is None:
            if event:
                self.unsure.add(event["id"])
            return before
        stream, version = (event["stream"], event["id"]), event["version"]
        index: int = place[0]
        path: list[bytes] = place[1]
        self._place(stream, version, file)
        if index <= before:
            self._fault("event-order", file, stream, line=number)
            return before
        if not is_included(index, data, path, self.log):
            origin = self.log.origin
            self._fault("event-not-in-log", file, stream, line=number, index=index, origin=origin)
            return index
        if self.until and event["recorded"] > self.until:
            self._fault("event-too-late", file, stream, line=number)
        self._keep(stream, index, event, data, file)
        return index

    def _read(self, number: int, file: str, read: Callable[[], Any]) -> Any:
        try:
            return read()
        except (*MALFORMED, CheckError):
            self.faulty += 1
            self.findings.add("line-unreadable", file, line=number)
            return None

    def _fault(self, code: str, file: str, whose: tuple[str, str], **values: Any) -> None:
        self.faulty += 1
        self.unsure.add(whose[1])
        self.findings.add(code, file, **values)

    def _place(self, stream: tuple[str, str], version: int, file: str) -> None:
        """Note that a stream goes on with a version, which must be the next."""
        if version != self.last.get(stream, 0) + 1:
            name = " ".join(stream)
            self._fault("stream-gap", file, stream, stream=_shown(name), version=version)
        self.last[stream] = version

    def _keep(
        self, stream: tuple[str, str], index: int, event: dict[str, Any], data: bytes, file: str
    ) -> None:
        body = _dict(event, "body")
        if event["version"] > MOST_EVENTS:
            raise CheckError("too-large", file)
        if stream[0] == "unit":
            self.wordings.add(_text(_dict(body, "wording"), "digest"))
            self.spool.add(stream[1], b"%d %b" % (index, data))
        elif hashlib.sha256(_text(body, "text").encode(errors="replace")).hexdigest() != stream[1]:
            self._fault("wording-false", file, stream)

    def compare(self, signed: dict[tuple[str, str], int]) -> int:
        """Number of streams, each of which ends where it was signed; notes those that do not."""
        for stream, last in self.last.items():
            name = _shown(" ".join(stream))
            if stream not in signed:
                self._fault("stream-foreign", EVENTS, stream, stream=name)
            elif last != signed[stream]:
                values = {"version": last, "last": signed[stream]}
                self._fault("stream-short", EVENTS, stream, stream=name, **values)
        for stream in sorted(set(signed) - set(self.last)):
            self._fault("stream-missing", EVENTS, stream, stream=" ".join(stream))
        kept = {id_ for kind, id_ in self.last if kind == "wording"}
        for digest in sorted(self.wordings - kept - {""}):
            self.findings.add("wording-missing", EVENTS, digest=_shown(digest))
        return len(signed)

    def unit(self, id_: str) -> Unit:
        """What the events of a unit that hold say."""
        unit = Unit(id_)
        for line in self.spool.of(id_):
            index, _, data = line.partition(b" ")
            try:
                unit.apply(int(index), read_json(data.decode()))
            except MALFORMED:
                self.unsure.add(id_)
        return unit


# A bundle as a whole


class Bundle:
    """One bundle under check. Each `check_…` notes its findings; `check` makes them all."""

    def __init__(self, files: Files, keys: list[str], findings: Findings) -> None:
        self.files, self.keys, self.findings = files, keys, findings
        self.bag = Bag(files)
        self.statement: Statement | None = None  # None also where its signature is false
        self.signature = ""  # the text of its note
        self.checkpoint: Checkpoint | None = None
        self.events: Events | None = None
        self.has_outside_key = bool(keys)
        # By a key that was given or, if none was, came with the bundle:
        self.statement_is_signed = self.checkpoint_is_signed = False
        self.files_are_signed = False

    def check(self, path: Path) -> None:
        """Make every check."""
        stages: list[Callable[[], None]] = [
            self.check_bag,
            lambda: self.check_wrapper(path),
            self.take_keys,
            self.check_statement,
            self.check_checkpoint,
            self.check_events,
            self.check_layout,
            self.check_contents,
            self.tell_bounds,
        ]
        for stage in stages:
            try:
                stage()
            except CheckError as error:
                self.findings.error(error)
            except (*UNREADABLE, *MALFORMED) as error:  # no file is worth a traceback
                self.findings.add("not-readable", path.name, why=_reason(error))

    @property
    def kind(self) -> str:
        """Kind of bundle, as signed over these files; where it is not, by its files."""
        if self.statement and self.files_are_signed:
            return self.statement.kind
        of_form = (FORM, CERTIFICATE, *UNCOMPARED["registration"])
        return "registration" if any(name in self.files for name in of_form) else "audit"

    def close(self) -> None:
        """Close what was opened; the findings stay."""
        self.files.close()
        if self.events:
            self.events.spool.close()

    def check_bag(self) -> None:
        """Every file is as the manifests have it."""
        is_sound = True
        for fault in self.bag.faults():
            self.findings.error(fault)
            is_sound = False
        if is_sound:
            self.findings.add("bag-complete", result=len(self.bag.payload))

    def check_wrapper(self, path: Path) -> None:
        """The ZIP around the files is as it was issued; a folder has none."""
        if self.files.archive:
            self.findings.run("zip-as-issued", lambda: check_wrapper(path, self.files), path.name)

    def take_keys(self) -> None:
        """Where no key was given, take the ones inside, and say what that is worth."""
        if self.has_outside_key:
            return
        self.keys += self.files.text(KEYS).split()
        self.findings.add("key-inside", KEYS, keys=_shown(" ".join(self.keys)))

    def check_statement(self) -> None:
        """The bundle is signed, and its files are those that were signed."""
        if SIGNATURE not in self.files:
            self.findings.add("statement-missing", SIGNATURE)
            return
        statement: Statement | None = self.findings.run(
            "statement-read", lambda: read_statement(self.files.text(SIGNATURE)), SIGNATURE
        )
        if statement is None:
            return
        self.signature = statement.note
        signer = self._signed("statement-signed", statement.note, SIGNATURE, statement.log)
        if signer is None and HAS_ED25519:
            return
        self.statement = statement
        matches = self._tag_manifest() == statement.tagmanifest
        self.findings.add("files-signed" if matches else "files-not-signed", TAG_MANIFEST)
        self.statement_is_signed = signer is not None
        self.files_are_signed = self.statement_is_signed and matches
        self._check_name(statement)

    def _signed(self, holds: str, note: str, file: str, origin: str) -> str | None:
        def check() -> str:
            name = check_signature(note, self.keys, file)
            if name != origin:
                raise CheckError("signature-foreign", file)
            return name

        signer: str | None = self.findings.run(holds, check, file)
        return signer

    def _tag_manifest(self) -> str:
        try:
            return hashlib.sha256(b"".join(self.files.pieces(TAG_MANIFEST))).hexdigest()
        except CheckError:
            return ""

    def _check_name(self, statement: Statement) -> None:
        if self.files.folder != statement.bag:
            code = "zip-renamed" if self.files.archive else "folder-renamed"
            names = {"actual": _shown(self.files.folder), "stated": statement.bag}
            self.findings.add(code, SIGNATURE, **names)

    def check_checkpoint(self) -> None:
        """The checkpoint is signed, and the one that the bundle is cut at."""
        self.checkpoint = self.findings.run(
            "checkpoint-read", lambda: read_checkpoint(self.files.text(CHECKPOINT)), CHECKPOINT
        )
        if self.checkpoint is None:
            return
        signer = self._signed(
            "checkpoint-signed", self.checkpoint.note, CHECKPOINT, self.checkpoint.origin
        )
        self.checkpoint_is_signed = signer is not None
        if self.statement and self.checkpoint[:3] != _cut(self.statement)[:3]:
            self.findings.add("cut-differs", CHECKPOINT)
        if KEYS in self.files:
            self._check_keys_inside()

    def _check_keys_inside(self) -> None:
        notes = [self.signature, self.checkpoint.note if self.checkpoint else ""]
        try:
            inside = {_signer(line) for line in self.files.text(KEYS).split("\n")[:-1]}
            signers = {_signature_of(note) for note in notes if note}
        except (*MALFORMED, CheckError):
            inside, signers = set(), {("", "")}
        if all(notes) and inside != signers:
            self.findings.add("keys-inside-differ", KEYS)
        elif self.has_outside_key and not inside <= self._given():
            self.findings.add("keys-inside-foreign", KEYS)

    def _given(self) -> set[tuple[str, str]]:
        try:
            return {_signer(key) for key in self.keys}
        except CheckError:
            return set()

    def check_events(self) -> None:
        """Every event stands in the log, and no stream lacks one."""
        log = self._root()
        if log is None:
            self.findings.add("no-root", EVENTS)
            return
        until = self.statement.until if self.statement else ""
        self.events = events = Events(self.files, log, until, self.findings)
        try:
            events.read()
            if not events.faulty:
                self.findings.add("events-in-log", EVENTS, result=events.count)
        except CheckError as error:
            self.findings.error(error)
            events.faulty += 1
        if self.statement is None:
            return
        faulty = events.faulty
        count = events.compare(self.statement.streams)
        if faulty == events.faulty:
            self.findings.add("streams-complete", EVENTS, result=count)

    def _root(self) -> Checkpoint | None:
        """The root to hold events to: what is signed goes before what is not."""
        if self.statement and (self.statement_is_signed or not self.checkpoint_is_signed):
            return _cut(self.statement)
        return self.checkpoint

    def check_layout(self) -> None:
        """Every file that such a bundle has is there, and no other."""
        due = [*TAGS, TAG_MANIFEST, EVENTS, INCLUSION, CHECKPOINT, KEYS]
        due += [*TABLES[self.kind], *FURTHER[self.kind], *UNCOMPARED[self.kind]]
        for name in due:
            if name not in self.files:
                self.findings.add("file-absent", name)
        known = {part for name in due for part in self.files.parts(name)} | {SIGNATURE, ERASED}
        folders = (PHOTOS, CERTIFICATES) if self.kind == "audit" else (PHOTOS,)
        for name in self.files.names:
            if name not in known and not name.startswith(folders):
                self.findings.add("file-foreign", name)

    def check_contents(self) -> None:
        """Tables, form, photos and certificates say and are what the events say."""
        events = self.events
        if events is None:
            return
        streams = self.statement.streams if self.statement else events.last
        units = [id_ for kind, id_ in streams if kind == "unit"]
        self.check_named(events, units)
        for name in TABLES[self.kind]:
            if name in self.files:
                Table(self.files, name, events, units, self.findings).check()
        if self.kind == "registration" and len(units) == 1 and FORM in self.files:
            Form(self, events, events.unit(units[0])).check()

    def check_named(self, events: Events, units: list[str]) -> None:
        """Photos and certificates are those that the events name, all of them."""
        folders = (PHOTOS, CERTIFICATES)
        there = {n: d for n, d in self.bag.digests.items() if n.startswith(folders)}
        if self.kind == "registration" and CERTIFICATE in self.bag.digests:
            there[CERTIFICATE] = self.bag.digests[CERTIFICATE]
        if self.kind == "audit" and not there and self._leaves_out():
            self.findings.add("files-left-out", INFO)
            return
        wanted: dict[str, str] = {}
        for id_ in units:
            wanted.update(_named_files(self.kind, events.unit(id_)))
        self._pass_over_erased(wanted)
        faults = list(_named_faults(there, wanted, self._form_certificate()))
        for code, name in faults:
            self.findings.add("named-file-unsure" if events.faulty else code, name)
        if events.faulty or self.statement is None:
            for place in (PHOTOS, CERTIFICATES if self.kind == "audit" else CERTIFICATE):
                self.findings.add("named-files-unsure", place)
        elif not faults:
            self.findings.add("files-named", result=len(there))
        self._check_certificate()

    def _pass_over_erased(self, wanted: dict[str, str]) -> None:
        """Take out what the bundle, under its signature, says was erased before it was made."""
        if ERASED not in self.files:
            return
        try:
            lines = self.files.text(ERASED).split("\r\n")[1:-1]
        except CheckError as error:
            self.findings.error(error)
            return
        for line in lines:
            name, _, digest = line.rpartition(",")
            if wanted.get(f"data/{name}") == digest:
                del wanted[f"data/{name}"]
                self.findings.add("named-file-erased", f"data/{name}")
            else:
                self.findings.add("erased-foreign", ERASED, what=line[:MOST_SHOWN])

    def _leaves_out(self) -> bool:
        try:
            return LEFT_OUT in self.files.text(INFO).split("\n")
        except CheckError:
            return False

    def _form_certificate(self) -> str:
        """Digest of the certificate that a registration names, which lies in it by another name."""
        if self.kind != "registration":
            return ""
        try:
            form = read_json(self.files.text(FORM))
        except (*MALFORMED, CheckError):
            return ""
        return _text(_dict(form, "preparation"), "certificate_sha256")

    def _check_certificate(self) -> None:
        """What a registration's certificate proves by itself."""
        if CERTIFICATE not in self.files:
            return
        try:
            pdf = self.files.content(CERTIFICATE, LARGEST_FILE)
        except CheckError as error:
            self.findings.error(error)
            return
        if ATTACHMENT.search(pdf) or OPENING in pdf:
            check_certificate(pdf, "", self.keys, self.findings, CERTIFICATE)

    def tell_bounds(self) -> None:
        """Say what the key alone binds, and whether it does."""
        if not self.files_are_signed:
            code = "not-bound" if self.findings.fails() else "key-alone-unchecked"
        else:
            code = "key-alone" if self.has_outside_key else "key-alone-unchecked"
        for name in self._bound_by_key_alone(code):
            for part in self.files.parts(name):
                if part in self.files:
                    aside = f" ({', '.join(ASIDE[name])})" if name in ASIDE else ""
                    self.findings.add(code, part, what=part + aside)
        if not (self.statement_is_signed or self.checkpoint_is_signed):
            for folder in (PHOTOS, CERTIFICATES):
                if any(name.startswith(folder) for name in self.files.names):
                    self.findings.add(code, folder, what=folder)
        self.findings.add("service-recomputes")

    def _bound_by_key_alone(self, code: str) -> list[str]:
        names = [README, INFO, "verifier.py", "verify.html", *UNCOMPARED[self.kind], ERASED, *ASIDE]
        if code != "key-alone":  # how their bytes are written
            names += [EVENTS, INCLUSION, CHECKPOINT, KEYS, SIGNATURE]
        if not (self.statement_is_signed or self.checkpoint_is_signed):
            names.append(CERTIFICATE)
        return names


def _cut(statement: Statement) -> Checkpoint:
    return Checkpoint(statement.log, statement.size, statement.root, statement.note)


def _signer(line: str) -> tuple[str, str]:
    """Name and key id of a verifier key."""
    name, public = _key(line)
    return name, _key_id(name, b"\x01" + public).hex()


def _signature_of(note: str) -> tuple[str, str]:
    """Name and key id of a note's one signature."""
    _, name, encoded = note.rpartition("\n\n")[2][:-1].split(" ")
    return name, _bytes(encoded, "")[:4].hex()


def _named_files(kind: str, unit: Unit) -> dict[str, str]:
    """Digest of each file of a unit, by its name in the bundle."""
    folder = f"{_file_name(unit.serial)}-{unit.id[:8]}"
    photos = f"{PHOTOS}{folder}/" if kind == "audit" else PHOTOS
    wanted = {
        f"{photos}{number:03d}-{_photo_name(photo)}": _text(photo, "digest")
        for number, photo in enumerate(unit.photos, 1)
    }
    lost = {_text(one, "replaces") for one in unit.documents if _text(one, "instead")}
    for document in unit.documents:
        is_there = _text(document, "document") not in lost
        if _text(document, "document_kind") == "certificate" and is_there:
            place = f"{CERTIFICATES}{folder}/" if kind == "audit" else CERTIFICATE
            number = _file_name(_text(document, "number"))
            wanted[f"{place}{number}.pdf"] = _text(document, "digest")
    return wanted


def _photo_name(photo: dict[str, Any]) -> str:
    places = (_text(photo, "step"), _text(photo, "line"), _text(photo, "position"))
    where = "-".join(filter(None, places))
    for sign, other in (("of_paper", "paper-sheet"), ("of_plate", "plate")):
        where = other if photo.get(sign) is True else where
    return _file_name(where) + PurePosixPath(_text(photo, "name")).suffix


def _file_name(text: str) -> str:
    """File name made of a text, as the service makes it."""
    return re.sub(r"[^A-Za-z0-9_-]+", "-", text).strip("-")[:60].strip("-") or "x"


def _named_faults(
    there: dict[str, str], wanted: dict[str, str], certificate: str
) -> Iterator[tuple[str, str]]:
    """Files that no event names, other than the named ones, or missing; code and name of each."""
    issued = {digest for name, digest in wanted.items() if name.startswith(CERTIFICATE)}
    wanted = {name: d for name, d in wanted.items() if not name.startswith(CERTIFICATE)}
    for name, digest in sorted(there.items()):
        if name == CERTIFICATE:
            if digest not in issued or digest != certificate:
                yield "named-file-other", name
        elif name not in wanted:
            yield "named-file-foreign", name
        elif wanted[name] != digest:
            yield "named-file-other", name
    for name in sorted(set(wanted) - set(there)):
        yield "named-file-absent", name


# Tables: RFC 4180, cells that no spreadsheet computes


FORMULA = re.compile(r"\s*[=+\-@＝＋－＠]|[\t\r\n]")
PLAIN_NUMBER = re.compile(r"[+-]?[0-9]+([.,][0-9]+)?([eE][+-]?[0-9]+)?")
ROWS: dict[str, Callable[[Unit], dict[str, Cells]]] = {
    "data/units.csv": Unit.unit_rows,
    "data/readings.csv": Unit.reading_rows,
    "data/sign_offs.csv": Unit.sign_off_rows,
    "data/flags.csv": Unit.flag_rows,
}


class Table:
    """One table of a bundle, row by row against the events of each unit."""

    def __init__(
        self, files: Files, name: str, events: Events, units: list[str], findings: Findings
    ) -> None:
        self.files, self.name, self.events, self.findings = files, name, events, findings
        self.left = dict.fromkeys(units)  # units whose rows were not there yet
        self.unit = ""
        self.due: dict[str, Cells] = {}  # rows of the present unit that were not there yet
        self.count = self.faults = self.of_unit = 0

    def check(self) -> None:
        """Hold every row to the events, and every event to a row."""
        try:
            for file, row in self._rows():
                self.count += 1
                self._take(file, row)
            self._finish()
            for id_ in list(self.left):
                self._begin(id_)
                self._finish()
        except CheckError as error:
            self.findings.error(error)
            return
        except (csv.Error, *UNREADABLE, *MALFORMED) as error:
            self.findings.add("table-unreadable", self.name, why=_reason(error))
            return
        if not self.faults:
            self.findings.add("table-agrees", self.name, result=self.count)

    def _rows(self) -> Iterator[tuple[str, Cells]]:
        first: list[str] = []
        for part in self.files.parts(self.name):
            lines = (line.decode() for line in self.files.pieces(part, LONGEST_LINE))
            reader = csv.reader(lines, strict=True)
            header = next(reader, [])
            first = header if part == self.name else first
            if header != first:
                raise CheckError("table-unreadable", part, why="its columns are others")
            for cells in reader:
                if len(cells) != len(header) or len(set(header)) != len(header):
                    raise CheckError(
                        "table-unreadable", part, why="a row has not one cell a column"
                    )
                yield part, dict(zip(header, cells))

    def _take(self, file: str, row: Cells) -> None:
        unit = row.get("unit", "")
        if unit != self.unit:
            self._finish()
            self._begin(unit)
        self.of_unit += 1
        key = row.get("entry", "") if self.name == "data/readings.csv" else str(self.of_unit - 1)
        right = self.due.pop(key, None)
        if right is None:
            self._fault("row-foreign", file)
            return
        for column, value in right.items():
            if row.get(column) != safe_cell(value):
                values = {"shown": _shown(row.get(column, "")), "right": _shown(safe_cell(value))}
                self._fault("row-differs", file, column=column, **values)

    def _begin(self, unit: str) -> None:
        self.unit, self.of_unit = unit, 0
        known = unit in self.left
        self.left.pop(unit, None)
        self.due = ROWS[self.name](self.events.unit(unit)) if known else {}

    def _finish(self) -> None:
        if self.due and self.unit not in self.events.unsure:
            self.faults += 1
            values = {"count": len(self.due), "unit": _shown(self.unit)}
            self.findings.add("rows-missing", self.name, **values)
        self.due = {}

    def _fault(self, code: str, file: str, **values: Any) -> None:
        self.faults += 1
        code = "row-unsure" if self.unit in self.events.unsure else code
        self.findings.add(code, file, row=self.count, **values)


def safe_cell(text: str) -> str:
    """Text of a cell as the service writes it: an apostrophe goes before a formula."""
    return "'" + text if FORMULA.match(text) and not PLAIN_NUMBER.fullmatch(text) else text


# The registration form


class Form:
    """The registration form as data, against the events of its unit."""

    def __init__(self, bundle: Bundle, events: Events, unit: Unit) -> None:
        self.bundle, self.log, self.unit = bundle, events.log, unit
        self.findings = bundle.findings
        self.is_unsure = unit.id in events.unsure
        self.faults = 0

    def check(self) -> None:
        """Hold every answer that the events have to them."""
        try:
            form = read_json(_decoded(self.bundle.files.content(FORM, LONGEST_LINE), FORM))
        except CheckError as error:
            self.findings.error(error)
            return
        except MALFORMED:
            form = None
        if not isinstance(form, dict):
            self.findings.add("form-unreadable", FORM)
            return
        for field, right in self._right(form).items():
            shown = _member(form, field)
            if not _is_same(shown, right):
                self._fault(field, shown, right)
        self._check_person(form, "buyer", ("salt", "name", "address", "phone", "email"))
        self._check_person(form, "recipient", ("salt", "name"))
        if not self.faults:
            self.findings.add("form-agrees", FORM)

    def _fault(self, field: str, shown: Any, right: Any) -> None:
        self.faults += 1
        code = "form-unsure" if self.is_unsure else "form-differs"
        self.findings.add(code, FORM, field=field, shown=_shown(shown), right=_shown(right))

    def _right(self, form: dict[str, Any]) -> dict[str, Any]:
        """What the events say, by the place of each answer in the form."""
        unit, handover = self.unit, _dict(self.unit.handover, "body")
        sheet, release = unit.sheet, unit.release
        statement = self.bundle.statement
        return {
            **({"number": statement.number} if statement else {}),
            "due": _text(handover, "registration_due"),
            "unit.id": unit.id,
            "unit.maker": unit.maker,
            "unit.serial": unit.serial,
            "unit.model": _text(unit.model, "code"),
            "unit.model_name": _text(unit.model, "name"),
            "unit.model_revision": unit.model.get("revision"),
            "unit.options": unit.options,
            "dealer.site": _text(unit.handover, "site"),
            "buyer.reference": _text(unit.buyer, "id"),
            "buyer.digest": _text(unit.buyer, "digest"),
            "recipient.digest": _text(handover, "recipient_digest"),
            "recipient.relation": _text(handover, "relation"),
            "recipient.language": _text(handover, "language"),
            "delivery.id": _text(handover, "handover"),
            "delivery.moment": _text(unit.handover, "happened"),
            "delivery.handed_over_by": _text(unit.handover, "name"),
            "delivery.use_token": _text(handover, "first_use"),
            "delivery.place": _text(handover, "place"),
            "delivery.hour_meter": _text(handover, "hour_meter"),
            "delivery.manual_given": handover.get("manual_given"),
            "delivery.shown_tokens": _list(handover, "shown"),
            "tractor.code": _text(unit.tractor, "code"),
            "tractor.name": _text(unit.tractor, "name"),
            "tractor.data": _dict(unit.tractor, "data"),
            "preparation.procedure": _text(sheet, "procedure"),
            "preparation.revision": sheet.get("revision"),
            "preparation.procedure_sha256": _text(sheet, "digest"),
            "preparation.released": _text(release, "happened"),
            "preparation.released_by": _text(release, "name"),
            **self._certificate(form),
            "log.origin": self.log.origin,
            "log.entry": unit.handover_at,
            "log.size": self.log.size,
        }

    def _certificate(self, form: dict[str, Any]) -> dict[str, Any]:
        """The certificate that the form names, as the log has it."""
        number = _member(form, "preparation.certificate")
        for issued in self.unit.documents:
            if (issued.get("document_kind"), issued.get("number")) == ("certificate", number):
                return {"preparation.certificate_sha256": _text(issued, "digest")}
        return {"preparation.certificate": "(of no event)"}

    def _check_person(self, form: dict[str, Any], person: str, names: tuple[str, ...]) -> None:
        """Names and particulars are those of the salted digest, which the log has."""
        held = _dict(form, person)
        values = [held.get(name) for name in names]
        if not any(values):
            self.findings.add("form-erased", FORM, person=person)
            return
        try:
            listed = json.dumps(values, ensure_ascii=False, separators=(",", ":")).encode()
        except UnicodeEncodeError:
            listed = b""
        if hashlib.sha256(listed).hexdigest() != _text(held, "digest"):
            self.faults += 1
            self.findings.add("form-digest", FORM, person=person)


def _member(form: dict[str, Any], path: str) -> Any:
    value: Any = form
    for name in path.split("."):
        value = value.get(name) if isinstance(value, dict) else None
    return value


def _is_same(one: Any, other: Any) -> bool:
    """Whether two JSON values are one; 1, 1.0 and true are three."""
    return json.dumps(one, sort_keys=True) == json.dumps(other, sort_keys=True)


def check_bundle(path: Path, keys: list[str], findings: Findings) -> Bundle | None:
    """Check a bundle; None where it cannot be opened."""
    files = findings.run("opened", lambda: Files(path), path.name)
    if files is None:
        return None
    bundle = Bundle(files, list(keys), findings)
    try:
        bundle.check(path)
    finally:
        bundle.close()
    return bundle


# Certificates


class CertificateStatement(NamedTuple):
    """What a certificate states: its log, its number, and the digest of the whole file."""

    note: str
    log: str
    number: str
    digest: str


def check_certificate(
    pdf: bytes, digest: str, keys: list[str], findings: Findings, file: str = "certificate.pdf"
) -> None:
    """Check a certificate by itself: the statement over its whole file, and its record's proof.

    Without `keys` the key in the record is used, which is said.
    """
    if digest:
        findings.run("certificate-digest", lambda: _compare(pdf, digest, file), file)
    statement: CertificateStatement | None = findings.run(
        "certificate-stated", lambda: read_certificate_statement(pdf, file), file
    )
    record: dict[str, Any] | None = findings.run(
        "record-read", lambda: attached_record(pdf, file), file
    )
    keys = list(keys) or _key_of_record(record, file, findings)
    if statement is not None:
        note, named = statement.note, f"{file} (statement)"
        findings.run("certificate-signed", lambda: check_signature(note, keys, named), file)
        findings.run("certificate-whole", lambda: check_whole(pdf, statement, file), file)
    if record is not None:
        findings.run("record-proves", lambda: check_record(record, statement, keys, file), file)
    findings.add("certificate-standing", file)


def _compare(pdf: bytes, digest: str, file: str) -> None:
    actual = hashlib.sha256(pdf).hexdigest()
    if digest.lower() != actual:
        raise CheckError("certificate-other", file, digest=actual)


def read_certificate_statement(pdf: bytes, file: str) -> CertificateStatement:
    """The statement of a certificate; neither its signature nor its digest is looked at.

    It is a signed note between two marks that stand in the file once, filled up with newlines to a
    fixed length. As those are covered by nothing, there may be nothing else.
    """
    opened, closed = pdf.count(OPENING), pdf.count(CLOSING)
    if not opened and not closed:
        raise CheckError("certificate-unstated", file)
    if opened > 1 or closed > 1:
        raise CheckError("certificate-stated-twice", file)
    start = pdf.find(OPENING) + len(OPENING)
    stop = start + ROOM
    if not opened or not pdf.startswith(CLOSING, stop):
        raise CheckError("certificate-torn", file)
    before, after = start - len(OPENING), stop + len(CLOSING)
    if not pdf.endswith(b"stream\n", 0, before) or not pdf.startswith(b"\nendstream", after):
        raise CheckError("certificate-moved", file)
    try:
        note = pdf[start:stop].rstrip(b"\n").decode() + "\n"
    except UnicodeDecodeError:
        note = ""
    said = CERTIFICATE_STATEMENT.fullmatch(note)
    if not said:
        raise CheckError("certificate-form", file)
    return CertificateStatement(note, *said.groups())


def check_whole(pdf: bytes, statement: CertificateStatement, file: str) -> None:
    """Check that a file, with zero bytes for its statement, has the digest that was stated."""
    start = pdf.find(OPENING) + len(OPENING)
    digest = hashlib.sha256(pdf[:start])
    digest.update(bytes(ROOM))
    digest.update(pdf[start + ROOM :])
    if digest.hexdigest() != statement.digest:
        raise CheckError(_what_changed(pdf), file)


def _what_changed(pdf: bytes) -> str:
    """What shows of how a file came to be another than was signed."""
    end = pdf.rfind(END_OF_PDF)
    if end < 0:
        return "certificate-cut"
    if pdf.find(END_OF_PDF) < end:
        return "certificate-updated"
    return "certificate-changed" if pdf.endswith(END_OF_PDF) else "certificate-lengthened"


def attached_record(pdf: bytes, file: str) -> dict[str, Any]:
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
    raise CheckError("record-unreadable", file)


def _record(held: bytes, is_packed: bool) -> dict[str, Any] | None:
    """The record that an attachment is; None for anything else."""
    try:
        if is_packed:
            held = zlib.decompressobj().decompress(held, LARGEST_RECORD)
        record = read_json(held.decode())
    except (*MALFORMED, zlib.error, MemoryError):
        return None
    return record if isinstance(record, dict) and "proof" in record else None


def _key_of_record(record: dict[str, Any] | None, file: str, findings: Findings) -> list[str]:
    key = _whole_text(record or {}, "proof", "key")
    if key:
        findings.add("certificate-key-inside", file, key=key)
    return [key] if key else []


def check_record(
    record: dict[str, Any], statement: CertificateStatement | None, keys: list[str], file: str
) -> str:
    """Description of the log entry a record proves, its checkpoint signed.

    The record names it under `proof`: `entry`, the entry's canonical JSON as text, and `tlog`, its
    proof in the tlog-proof format. It must be of the certificate that the statement names.
    """
    number = _whole_text(record, "certificate", "number")
    if statement is not None and number != statement.number:
        raise CheckError("record-of-another", file, shown=_shown(number), right=statement.number)
    head, _, note = _whole_text(record, "proof", "tlog").partition("\n\n")
    lines = head.split("\n")
    index = re.fullmatch("index (0|[1-9][0-9]{0,17})", lines[1]) if len(lines) > 1 else None
    if lines[0] != PROOF_HEADER or index is None:
        raise CheckError("record-no-proof", file)
    named = f"{file} (checkpoint in its record)"
    checkpoint = read_checkpoint(note, named)
    entry = _whole_text(record, "proof", "entry").encode()
    path = [_hash(one, file) for one in lines[2:]]
    if not is_included(int(index[1]), entry, path, checkpoint):
        raise CheckError("entry-not-in-log", file, index=index[1], origin=checkpoint.origin)
    if statement is not None and statement.log != checkpoint.origin:
        raise CheckError("record-other-log", file, log=checkpoint.origin)
    check_signature(note, keys, named)
    return f"entry {index[1]} of the log of {checkpoint.origin}"


def _whole_text(record: dict[str, Any], outer: str, inner: str) -> str:
    """A text of a record, a member of a member; empty where there is none, or half a character."""
    text = _text(_dict(record, outer), inner)
    return "" if re.search("[\ud800-\udfff]", text) else text


# Proof of issue, and checkpoints that somebody kept


class Issue(NamedTuple):
    """A proof of issue: the entry by which the log names a document, and its way to a root."""

    entry: bytes
    place: int
    path: list[bytes]
    checkpoint: Checkpoint


def read_issue(text: str) -> Issue:
    """Proof of issue from its text: a tlog-proof whose extra line is the entry's canonical JSON."""
    file = "the proof of issue"
    head, _, note = text.partition("\n\n")
    lines = head.split("\n")
    if len(lines) < 3 or lines[0] != PROOF_HEADER:
        raise CheckError("issue-form", file)
    extra, index = lines[1].partition(" "), lines[2].partition(" ")
    if (extra[0], index[0]) != ("extra", "index") or not NUMBER.fullmatch(index[2]):
        raise CheckError("issue-form", file)
    path = [_hash(line, file) for line in lines[3:]]
    return Issue(_bytes(extra[2], file), int(index[2]), path, read_checkpoint(note, file))


def check_issue(text: str, keys: list[str], document: dict[str, str]) -> str:
    """Number of the document that the log issued; `document` is what is known of this one."""
    file = "the proof of issue"
    issue = read_issue(text)
    if not is_included(issue.place, issue.entry, issue.path, issue.checkpoint):
        origin = issue.checkpoint.origin
        raise CheckError("entry-not-in-log", file, index=issue.place, origin=origin)
    check_signature(issue.checkpoint.note, keys, file)
    event = read_json(issue.entry.decode())
    body = _dict(event, "body")
    if _text(event, "kind") != "document.issued":
        raise CheckError("issue-form", file)
    stated = {**{name: _text(body, name) for name in document}, "log": issue.checkpoint.origin}
    for field, value in document.items():
        if stated[field] != value:
            raise CheckError("issue-other", file, field=field)
    return f"{_text(body, 'document_kind')} {_text(body, 'number')}"


def _check_issue_of(given: argparse.Namespace, bundle: Bundle | None, findings: Findings) -> None:
    """Hold a proof of issue to what it was given with, packed or not."""
    document: dict[str, str] = {}
    keys = given.key
    if bundle and bundle.statement:
        keys, statement = bundle.keys, bundle.statement
        document = {
            "document_kind": statement.kind,
            "number": statement.number,
            "bag": statement.tagmanifest,
            "log": statement.log,
        }
    if given.what.is_dir():
        findings.add("issue-folder")
    else:
        document["digest"] = _digest_of(given.what)
    check = lambda: check_issue(_read(given.issue), keys, document)  # noqa: E731  # a name for it
    findings.run("issue-proven", check, "the proof of issue")


def _digest_of(path: Path) -> str:
    digest = hashlib.sha256()
    with path.open("rb") as source:
        while piece := source.read(CHUNK):
            digest.update(piece)
    return digest.hexdigest()


def check_older(newer: Checkpoint, older: str, proof: str | None, keys: list[str]) -> int:
    """Number of entries of an older checkpoint, once the newer log is proven to hold them all."""
    file = "the older checkpoint"
    kept = read_checkpoint(older, file)
    if kept.size != newer.size and proof is None:
        raise CheckError("older-no-proof")
    check_signature(older, keys, file)
    check_consistency(kept, newer, [_hash(line, "the proof") for line in (proof or "").split()])
    return kept.size


def _check_older(given: argparse.Namespace, newer: Checkpoint) -> int:
    proof = _read(given.proof) if given.proof else None
    return check_older(newer, _read(given.older), proof, given.key)


# The command


def say(text: str) -> None:
    """Print a line, with nothing in it that a terminal would obey or could not show."""
    plain = "".join(one if one.isprintable() else "?" for one in text)
    encoding = sys.stdout.encoding or "utf-8"
    print(plain.encode(encoding, "replace").decode(encoding))  # noqa: T201  # its only output


def _read(path: Path) -> str:
    return _decoded(_content(path, LARGEST_TEXT), path.name)


def _content(path: Path, largest: int) -> bytes:
    with path.open("rb") as source:
        held = source.read(largest + 1)
    if len(held) > largest:
        raise CheckError("too-large", path.name)
    return held


class Parser(argparse.ArgumentParser):
    """Argument parser whose usage errors end with code 3; 2 means that not all could be checked."""

    def error(self, message: str) -> NoReturn:
        """Say what is wrong with the command line and stop."""
        self.exit(3, f"{self.format_usage()}{message}\n")


def _given(arguments: list[str] | None) -> argparse.Namespace:
    parser = Parser(description="Check a bundle, a certificate (PDF) or a checkpoint (text).")
    parser.add_argument("what", type=Path, help="the bundle (ZIP or folder), PDF or checkpoint")
    parser.add_argument("--key", action="append", default=[], help="the log's published key")
    parser.add_argument("--issue", type=Path, help="the proof of issue of this document")
    parser.add_argument("--older", type=Path, help="a checkpoint you kept from before")
    parser.add_argument("--proof", type=Path, help="the consistency proof from older to newer")
    parser.add_argument("--digest", default="", help="the SHA-256 of a certificate, if known")
    parser.add_argument("--json", action="store_true", help="print the findings for programs")
    given = parser.parse_args(arguments)
    for path in (given.issue, given.older, given.proof):
        if path is not None and not path.is_file():
            parser.error(f"There is no file {path}.")
    if not given.what.is_file() and not given.what.is_dir():
        parser.error(f"There is no {given.what}.")
    return given


def main(arguments: list[str] | None = None) -> int:
    """Check what the command line names, print in plain words what holds, return the exit code."""
    given, findings = _given(arguments), Findings()
    checkpoint, bundle = _check_what(given, findings)
    if given.issue:
        _check_issue_of(given, bundle, findings)
    if given.older and checkpoint:
        findings.run("older-holds", lambda: _check_older(given, checkpoint), "the older checkpoint")
    elif checkpoint:
        findings.add("only-kept-elsewhere")
    code = findings.exit_code
    if given.json:
        found = [finding._asdict() for finding in findings.all()]
        say(json.dumps({"exit": code, "verdict": VERDICTS[code], "findings": found}))
        return code
    for status, text in findings.lines:
        say(f"{status + ':':15}{text}")
    say(VERDICTS[code])
    return code


def _check_what(
    given: argparse.Namespace, findings: Findings
) -> tuple[Checkpoint | None, Bundle | None]:
    start = b"PK"
    if not given.what.is_dir():
        with given.what.open("rb") as source:
            start = source.read(4)
    if start[:2] == b"PK":
        bundle = check_bundle(given.what, given.key, findings)
        return (bundle.checkpoint if bundle else None), bundle
    if start == b"%PDF":
        try:
            pdf = _content(given.what, LARGEST_FILE)
        except CheckError as error:
            findings.error(error)
        else:
            check_certificate(pdf, given.digest, given.key, findings, given.what.name)
        return None, None
    return _check_checkpoint(given, findings), None


def _check_checkpoint(given: argparse.Namespace, findings: Findings) -> Checkpoint | None:
    name = given.what.name
    checkpoint: Checkpoint | None = findings.run(
        "checkpoint-read", lambda: read_checkpoint(_read(given.what), name), name
    )
    if checkpoint:
        note = checkpoint.note
        findings.run("checkpoint-signed", lambda: check_signature(note, given.key, name), name)
    return checkpoint


if __name__ == "__main__":
    sys.exit(main())
