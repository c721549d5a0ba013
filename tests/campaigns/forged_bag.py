"""A bundle under a forger's hands: its files, made to fit one another again, signed and packed."""

import hashlib
import io
import json
import random
import re
import zipfile
from dataclasses import dataclass, field
from typing import Final

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from prep.record.log import signed_notes
from tests.campaigns.genuine import Files, Genuine

OWN: Final = Ed25519PrivateKey.from_private_bytes(bytes(range(7, 39)))
EVENTS: Final = "data/events.jsonl"
PROOFS: Final = "data/proof/inclusion.jsonl"
CHECKPOINT: Final = "data/proof/checkpoint.txt"
KEYS: Final = "data/proof/keys.txt"
SIGNATURE: Final = "signature.txt"
MANIFEST: Final = "manifest-sha256.txt"
TAG_MANIFEST: Final = "tagmanifest-sha256.txt"
DERIVED: Final = {MANIFEST, TAG_MANIFEST}
JUNK: Final = b"put here by somebody (invented)"


@dataclass
class Forgery:
    """A bundle under the forger's hands, and what he did to it."""

    chance: random.Random
    name: str
    files: Files
    others: list[Genuine]
    told: list[str] = field(default_factory=list)
    own_key: bool = False
    remade: bool = True
    packing: str = "as the service packs"

    def some(self, ending: str = "", *, beginning: str = "") -> str | None:
        """A random file of the bundle."""
        names = [n for n in self.files if n.endswith(ending) and n.startswith(beginning)]
        return self.chance.choice(sorted(set(names) - DERIVED)) if set(names) - DERIVED else None

    def lines(self, name: str) -> list[bytes]:
        """Lines of a text file, with their ends."""
        return self.files.get(name, b"").splitlines(keepends=True)


def origin_of(forgery: Forgery) -> str:
    """The name of the log, which the forger has to sign under."""
    return forgery.others[0].files[CHECKPOINT].decode().partition("\n")[0]


def remake(forgery: Forgery) -> None:
    """The labels, manifests and signature that fit the files as they are now."""
    files = forgery.files
    payload = sorted(name for name in files if name.startswith("data/"))
    if "bag-info.txt" in files:
        oxum = b"Payload-Oxum: %d.%d\n" % (sum(len(files[n]) for n in payload), len(payload))
        files["bag-info.txt"] = re.sub(rb"Payload-Oxum: .*\n", oxum, files["bag-info.txt"])
    files[MANIFEST] = manifest(files, payload)
    signed = {SIGNATURE, *(n for n in files if n.startswith("tagmanifest-"))}
    files[TAG_MANIFEST] = manifest(files, sorted(set(files) - set(payload) - signed))
    if forgery.own_key and SIGNATURE in files:
        sign_again(forgery)


def manifest(files: Files, names: list[str]) -> bytes:
    """A manifest over some files."""
    return "".join(f"{hashlib.sha256(files[n]).hexdigest()}  {n}\n" for n in names).encode()


def sign_again(forgery: Forgery) -> None:
    """The statement with the cut, streams and digest of the files as they are, under his key."""
    text = forgery.files[SIGNATURE].decode(errors="replace").rpartition("\n\n")[0] + "\n"
    digest = hashlib.sha256(forgery.files[TAG_MANIFEST]).hexdigest()
    text = re.sub("tagmanifest .*\n", f"tagmanifest {digest}\n", text)
    lines = forgery.files.get(CHECKPOINT, b"").decode(errors="replace").split("\n")
    if len(lines) > 2:
        text = re.sub("cut .*\n", lambda _: f"cut {lines[1]} {lines[2]}\n", text)
    text = re.sub("(stream .*\n)+", lambda _: streams(forgery), text)
    try:
        note = signed_notes.sign_note(text, origin_of(forgery), OWN)
    except ValueError:
        return
    forgery.files[SIGNATURE] = note.encode()


def streams(forgery: Forgery) -> str:
    """The lines of the statement that fit the events as they are now."""
    last: dict[tuple[str, str], int] = {}
    for line in forgery.lines(EVENTS):
        try:
            event = json.loads(line)
            last[str(event["stream"]), str(event["id"])] = event["version"]
        except (ValueError, KeyError, TypeError):
            continue
    return "".join(
        f"stream {kind} {id_} {version}\n" for (kind, id_), version in sorted(last.items())
    )


def packed(forgery: Forgery) -> bytes:
    """The ZIP, as the service packs it unless the forger wanted otherwise."""
    folder = "another" if forgery.packing == "another folder" else forgery.name
    method = zipfile.ZIP_DEFLATED if forgery.packing == "packed" else zipfile.ZIP_STORED
    target = io.BytesIO()
    with zipfile.ZipFile(target, "w", method) as archive:
        for name in in_order(forgery.files):
            entry = zipfile.ZipInfo(f"{folder}/{name}", (1980, 1, 1, 0, 0, 0))
            entry.create_system, entry.external_attr = 3, 0o100644 << 16
            entry.compress_type = method
            archive.writestr(entry, forgery.files[name])
        if forgery.packing == "comment":
            archive.comment = b"nothing to see"
    return target.getvalue() + (b"\0" if forgery.packing == "longer" else b"")


def in_order(files: Files) -> list[str]:
    """Names in the order in which the service writes them."""
    last = {TAG_MANIFEST: 1, SIGNATURE: 2}
    return sorted(files, key=lambda n: (last.get(n, 0), not n.startswith("data/"), n))


def touched(before: Files, after: Files) -> set[str]:
    """Files that are not what they were, apart from those that only follow from others."""
    names = {n for n in {*before, *after} - DERIVED if before.get(n) != after.get(n)}
    for name in ("bag-info.txt",):
        if name in names and without_oxum(before.get(name)) == without_oxum(after.get(name)):
            names.remove(name)
    return names


def without_oxum(info: bytes | None) -> bytes | None:
    """Labels of a bag without the one that follows from its files."""
    return info and re.sub(rb"Payload-Oxum: .*\n", b"", info)
