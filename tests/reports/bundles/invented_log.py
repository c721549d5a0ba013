"""An invented log, and bundles and certificates made of it without the service."""

import base64
import csv
import hashlib
import io
import zlib
from pathlib import Path
from typing import Any

import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from prep.record.log import canonical_json, merkle_tree, signed_notes
from prep.record.log.bundle_statement import BundleStatement, Streams
from reports.bundles import columns, verifier
from reports.bundles.bag import write_bag
from tests.reports.pdf_statement import blank, place

ORIGIN = "yard.example/log"
KEY = Ed25519PrivateKey.from_private_bytes(bytes(range(32)))
FORGER = Ed25519PrivateKey.from_private_bytes(bytes(range(1, 33)))
PUBLISHED = signed_notes.verifier_key(ORIGIN, KEY).text

UNIT = "0a0a0a0a-0000-4000-8000-000000000001"
OTHER = "0b0b0b0b-0000-4000-8000-000000000002"
NAME = "audit-A00000000001"
MOMENT = "2026-04-01T09:00:00.%06dZ"


def event(version: int, kind: str, body: dict[str, Any], unit: str = UNIT) -> bytes:
    """An entry of the log, with the members that every envelope has."""
    entry = {
        "stream": "unit",
        "id": unit,
        "version": version,
        "kind": kind,
        "schema": 1,
        "body": {"kind": kind, **body},
        "actor": "ada",
        "name": "Ada Invented",
        "site": "north",
        "device": "tablet",
        "drift": None,
        "named": None,
        "happened": MOMENT % version,
        "recorded": MOMENT % version,
        "command": "",
        "part": 0,
        "request": "",
        "facts": {},
    }
    return canonical_json.encode(entry)


def placed(version: int, unit: str = UNIT) -> bytes:
    """An entry that no table repeats."""
    return event(version, "unit.placed", {"place": f"row {version}"}, unit)


# An invented unit's events among those of another.
CHOSEN = (2, 3, 8, 12)
MODEL = {"code": "TC-12", "name": "Larkfield TC-12"}
READING = {"reading": "r1", "step": "pitch", "line": "front", "position": "", "raw": "450"}
OWN = [
    event(1, "unit.received", {"maker": "Larkfield", "serial": "TC00001", "model": MODEL}),
    event(2, "reading.taken", {**READING, "verdict": "no-limit", "copied_from_paper": False}),
    placed(3),
    placed(4),
]
ENTRIES = [
    OWN[CHOSEN.index(place)] if place in CHOSEN else placed(place + 1, OTHER) for place in range(13)
]
STREAMS: Streams = {("unit", UNIT): len(CHOSEN)}


class Log:
    """The log after its entries, sealed with `key`; past the third, not for the first time."""

    def __init__(
        self, entries: list[bytes], key: Ed25519PrivateKey = KEY, origin: str = ORIGIN
    ) -> None:
        leaves = [merkle_tree.leaf_hash(entry) for entry in entries]
        self.entries, self.key = entries, key
        self.nodes = {
            (level, index): held
            for level, index, held in merkle_tree.appended_nodes(0, leaves, self.at)
        }
        self.root = merkle_tree.root(len(entries), self.at)
        previous = len(entries) - 3 if len(entries) > 3 else None
        checkpoint = signed_notes.Checkpoint(origin, len(entries), self.root, previous)
        self.note = signed_notes.sign_note(signed_notes.format_checkpoint(checkpoint), origin, key)

    def at(self, level: int, index: int) -> bytes:
        return self.nodes[level, index]

    def path(self, index: int) -> list[str]:
        return as_text(merkle_tree.inclusion_proof(index, len(self.entries), self.at))

    def proof_from(self, older: int) -> str:
        return (
            "\n".join(as_text(merkle_tree.consistency_proof(older, len(self.entries), self.at)))
            + "\n"
        )


def as_text(hashes: list[bytes]) -> list[str]:
    return [base64.b64encode(held).decode() for held in hashes]


LOG = Log(ENTRIES)


def certificate(log: Log = LOG, index: int = 8, number: str = "YP-00481") -> bytes:
    """The bones of a PDF with record and statement attached the way PDF writers attach them."""
    path = merkle_tree.inclusion_proof(index, len(log.entries), log.at)
    proof = {
        "entry": log.entries[index].decode(),
        "key": signed_notes.verifier_key(ORIGIN, log.key).text,
        "tlog": signed_notes.format_proof(index, path, log.note),
    }
    return stated(bones({"certificate": {"number": number}, "proof": proof}), number, log.key)


def bones(record: dict[str, Any]) -> bytes:
    """The bones of a certificate, its record packed and its statement not written yet."""
    held = zlib.compress(canonical_json.encode(record))
    return (
        b"%%PDF-1.7\n5 0 obj\n<< /Type /EmbeddedFile /Filter /FlateDecode /Params << /Size 1 >> "
        b"/Length %d >>\nstream\n%b\nendstream\nendobj\n6 0 obj\n<< /Type /EmbeddedFile /Length "
        b"1072 >>\nstream\n<yardproof-statement>\n%b</yardproof-statement>\n\nendstream\nendobj\n"
        b"%%%%EOF\n" % (len(held), held, b"\n" * 1024)
    )


def stated(
    pdf: bytes,
    number: str = "YP-00481",
    key: Ed25519PrivateKey = KEY,
    *,
    first: str = "Yardproof certificate",
    origin: str = ORIGIN,
) -> bytes:
    """A certificate with the statement of the log's keeper in its place, over all the rest."""
    digest = hashlib.sha256(blank(pdf, b"\0")).hexdigest()
    text = f"{first}\nlog {origin}\ndocument certificate {number}\nfile {digest}\n"
    start, stop = place(pdf).span(1)
    note = signed_notes.sign_note(text, origin, key).encode()
    return pdf[:start] + note.ljust(stop - start, b"\n") + pdf[stop:]


def contents(log: Log = LOG, chosen: tuple[int, ...] = CHOSEN) -> dict[str, bytes]:
    """Payload of an audit as the service lays it out, of one unit."""
    places = [{"index": index, "path": log.path(index)} for index in chosen]
    return {
        "events.jsonl": b"".join(log.entries[index] + b"\n" for index in chosen),
        "proof/inclusion.jsonl": b"".join(canonical_json.encode(place) + b"\n" for place in places),
        "proof/checkpoint.txt": log.note.encode(),
        "proof/keys.txt": signed_notes.verifier_key(ORIGIN, log.key).text.encode() + b"\n",
        "index.html": b"<p>an invented page</p>",
        "findings.csv": table(columns.FINDINGS),
        "units.csv": table(columns.UNITS, unit_row(len(chosen))),
        "readings.csv": table(columns.READINGS, READING_ROW),
        "sign_offs.csv": table(columns.SIGN_OFFS),
        "flags.csv": table(columns.FLAGS),
    }


def table(header: tuple[str, ...], *rows: dict[str, str]) -> bytes:
    """A table; what a row does not name is empty."""
    target = io.StringIO(newline="")
    writer = csv.DictWriter(target, header, restval="")
    writer.writeheader()
    writer.writerows(rows)
    return target.getvalue().encode()


def unit_row(events: int) -> dict[str, str]:
    """The unit as its events have it."""
    return {
        "unit": UNIT,
        "maker": "Larkfield",
        "serial": "TC00001",
        "model": MODEL["code"],
        "model name": MODEL["name"],
        "state": "received",
        "received": MOMENT % 1,
        "open flags": "0",
        "events": str(events),
    }


READING_ROW = {
    "unit": UNIT,
    "serial": "TC00001",
    "step": "pitch",
    "line": "front",
    "as typed": "450",
    "verdict": "no-limit",
    "stands": "yes",
    "person": "ada",
    "name": "Ada Invented",
    "happened": MOMENT % 2,
    "recorded": MOMENT % 2,
    "copied from paper": "no",
    "entry": "r1",
}


def bundle(
    folder: Path,
    payload: dict[str, bytes] | None = None,
    *,
    log: Log = LOG,
    streams: Streams = STREAMS,
    info: tuple[tuple[str, str], ...] = (),
) -> Path:
    """A bundle of a payload, which the log's keeper signs whatever is in it."""
    files = contents() if payload is None else payload
    entries = [(path, lambda held=held: io.BytesIO(held)) for path, held in files.items()]

    def sign(tagmanifest: str) -> bytes:
        statement = BundleStatement(
            log=ORIGIN,
            kind="audit",
            number="A00000000001",
            size=len(log.entries),
            root=log.root,
            until="",
            bag=NAME,
            tagmanifest=tagmanifest,
            streams=streams,
        )
        return signed_notes.sign_note(statement.text(), ORIGIN, log.key).encode()

    target = io.BytesIO()
    write_bag(
        target,
        NAME,
        entries,
        info=[("Bagging-Date", "2026-04-01"), *info],
        tag_files=[(name, b"invented") for name in ("README.txt", "verifier.py", "verify.html")],
        sign=sign,
    )
    path = folder / "bundle.zip"
    path.write_bytes(target.getvalue())
    return path


def check(capsys: pytest.CaptureFixture[str], *arguments: object) -> tuple[int, str]:
    """Exit code and printed words."""
    code = verifier.main([str(argument) for argument in arguments])
    return code, capsys.readouterr().out


def with_key(path: Path) -> tuple[object, ...]:
    return path, "--key", PUBLISHED


def in_parts() -> dict[str, bytes]:
    """The same events two files to a kind, as large bundles have them."""
    whole = contents()
    parts = dict(whole)
    for name in ("events.jsonl", "proof/inclusion.jsonl"):
        lines = whole[name].splitlines(keepends=True)
        stem, _, ending = name.rpartition(".")
        parts[name] = b"".join(lines[:1])
        parts[f"{stem}-2.{ending}"] = b"".join(lines[1:2])
        parts[f"{stem}-3.{ending}"] = b"".join(lines[2:])
    return parts
