"""An invented log, and bundles and certificates made of it without the service."""

import base64
import hashlib
import io
import zlib
from pathlib import Path
from typing import Any

import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from prep.record.log import canonical_json, merkle_tree, signed_notes
from reports.bundles import verifier
from reports.bundles.bag import write_bag
from tests.reports.pdf_statement import blank, place

ORIGIN = "yard.example/log"
KEY = Ed25519PrivateKey.from_private_bytes(bytes(range(32)))
FORGER = Ed25519PrivateKey.from_private_bytes(bytes(range(1, 33)))
PUBLISHED = signed_notes.verifier_key(ORIGIN, KEY).text

# An invented unit's events among those of others.
ENTRIES = [
    canonical_json.encode({"kind": "reading.taken", "version": number, "body": {"value": "450"}})
    for number in range(13)
]
CHOSEN = (2, 3, 8, 12)


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
    """Payload of a bundle as the service lays it out."""
    places = [{"index": index, "path": log.path(index)} for index in chosen]
    return {
        "events.jsonl": b"".join(log.entries[index] + b"\n" for index in chosen),
        "proof/inclusion.jsonl": b"".join(canonical_json.encode(place) + b"\n" for place in places),
        "proof/checkpoint.txt": log.note.encode(),
        "proof/keys.txt": PUBLISHED.encode() + b"\n",
    }


def bundle(folder: Path, payload: dict[str, bytes] | None = None) -> Path:
    target = io.BytesIO()
    files = contents() if payload is None else payload
    entries = [(path, lambda held=held: io.BytesIO(held)) for path, held in files.items()]
    write_bag(target, "unit-7", entries, info=[("Bagging-Date", "2026-04-01")])
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
