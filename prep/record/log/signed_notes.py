"""Signed checkpoints and proofs of the log as text (C2SP formats).

The formats are signed-note v1.0.0 (Ed25519), tlog-checkpoint and tlog-proof. A checkpoint states
the name of the log, its number of entries and the root over them; a proof joins the path of one
entry to such a checkpoint. Parsing is strict: an ambiguous text is refused.
"""

import base64
import binascii
import hashlib
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey, Ed25519PublicKey

ED25519: Final = b"\x01"  # signature type of signed-note
KEY_BYTES: Final = 32
SIGNATURE_BYTES: Final = 64
KEY_ID_BYTES: Final = 4
ROOT_BYTES: Final = 32
SIGNATURE_MARK: Final = "— "  # an em dash and a space
PREVIOUS: Final = "previous "
PROOF_HEADER: Final = "c2sp.org/tlog-proof@v1"
EXTRA: Final = "extra "


class NoteError(ValueError):
    """A note, checkpoint, key or proof is not well formed or not signed; the text says why."""


@dataclass(frozen=True)
class Checkpoint:
    """A checkpoint: the log named `origin` had `size` entries under `root` (32 bytes).

    `previous` is the size of the checkpoint signed before it, so that a missing one is noticed;
    None for the first of a log.
    """

    origin: str
    size: int
    root: bytes
    previous: int | None = None


@dataclass(frozen=True)
class VerifierKey:
    """A public Ed25519 key and the name it signs under."""

    name: str
    public: bytes

    def __post_init__(self) -> None:
        _check_name(self.name)
        if len(self.public) != KEY_BYTES:
            raise NoteError(f"An Ed25519 key has {KEY_BYTES} bytes; this has {len(self.public)}.")

    @property
    def id(self) -> bytes:
        """Key id: first four bytes of the hash over name and key, put before each signature."""
        named = self.name.encode() + b"\n" + ED25519 + self.public
        return hashlib.sha256(named).digest()[:KEY_ID_BYTES]

    @property
    def text(self) -> str:
        """The key as one line to publish: name, id and key, joined by plus signs."""
        return f"{self.name}+{self.id.hex()}+{_to_base64(ED25519 + self.public)}"


@dataclass(frozen=True)
class Proof:
    """An inclusion proof: the path of entry `index` to the root of the checkpoint in `note`.

    `extra` is what its maker put beside it, which nothing in the proof vouches for.
    """

    index: int
    path: tuple[bytes, ...]
    note: str
    extra: bytes = b""


def parse_verifier_key(text: str) -> VerifierKey:
    """Verifier key from its line of text. Raises NoteError, also where the id is not the key's."""
    parts = text.split("+", 2)  # a name holds no plus sign; base64 may
    if len(parts) != 3:
        raise NoteError("A verifier key reads name+id+key; copy the whole line.")
    name, key_id, encoded = parts
    held = _from_base64(encoded, "the key")
    if held[:1] != ED25519:
        raise NoteError("The key is of another kind than Ed25519.")
    key = VerifierKey(name, held[1:])
    if key.id.hex() != key_id:
        raise NoteError(f"The key's id is {key.id.hex()}, the line says {key_id}; copy it again.")
    return key


def verifier_key(name: str, private: Ed25519PrivateKey) -> VerifierKey:
    """The public half of a signing key."""
    return VerifierKey(name, private.public_key().public_bytes_raw())


def format_checkpoint(checkpoint: Checkpoint) -> str:
    """Text of a checkpoint, ready to be signed."""
    text = f"{checkpoint.origin}\n{checkpoint.size}\n{_to_base64(checkpoint.root)}\n"
    if checkpoint.previous is not None:
        text += f"{PREVIOUS}{checkpoint.previous}\n"
    parse_checkpoint(text)  # refuse to sign what could not be read again
    return text


def parse_checkpoint(text: str) -> Checkpoint:
    """Checkpoint from the text of a note. Raises NoteError.

    Origin, size and root, a line each, then the size of the checkpoint before as an extension line,
    which tlog-checkpoint allows and other readers ignore.
    """
    lines = text.split("\n")
    if lines.pop() or len(lines) not in {3, 4}:
        raise NoteError("A checkpoint has three lines: origin, number of entries, root.")
    origin, size, encoded, *extension = lines
    if not origin.strip():
        raise NoteError("The checkpoint does not name its log.")
    root = _from_base64(encoded, "the root")
    if len(root) != ROOT_BYTES:
        raise NoteError(f"The root has {len(root)} bytes instead of {ROOT_BYTES}.")
    entries = _number(size, "number of entries")
    return Checkpoint(origin, entries, root, _previous(extension, entries))


def _previous(extension: list[str], size: int) -> int | None:
    if not extension:
        return None
    if not extension[0].startswith(PREVIOUS):
        raise NoteError(f"A fourth line of a checkpoint reads “{PREVIOUS}” and a number.")
    previous = _number(extension[0].removeprefix(PREVIOUS), "size of the checkpoint before")
    if previous >= size:
        raise NoteError("A checkpoint cannot follow one over as many entries or more.")
    return previous


def sign_note(text: str, name: str, private: Ed25519PrivateKey) -> str:
    """A note: `text` (which ends in a newline) with one signature under it."""
    _check_text(text)
    key = verifier_key(name, private)
    signature = _to_base64(key.id + private.sign(text.encode()))
    return f"{text}\n{SIGNATURE_MARK}{name} {signature}\n"


def verify_note(note: str, keys: Iterable[VerifierKey]) -> str:
    """Text of a note that at least one of `keys` has signed.

    Raises NoteError when none has, or when a signature by one of them is invalid. Signatures by
    other keys are ignored, as signed-note requires.
    """
    text, signatures = _split(note)
    known = {(key.name, key.id): key for key in keys}
    signed = False
    for name, held in signatures:
        key = known.get((name, held[:KEY_ID_BYTES]))
        if key is None:
            continue
        if not _is_signed(text, key, held[KEY_ID_BYTES:]):
            raise NoteError(f"The signature of {name} is false: the text was changed.")
        signed = True
    if not signed:
        listed = ", ".join(name for name, _ in signatures)
        raise NoteError(f"Signed by {listed}, which none of the given keys is.")
    return text


def signers(note: str) -> list[bytes]:
    """Key ids of the signatures of a note; the signatures are not checked."""
    return [held[:KEY_ID_BYTES] for _, held in _split(note)[1]]


def format_proof(index: int, path: Sequence[bytes], note: str, extra: bytes = b"") -> str:
    """One entry's path to a signed checkpoint, as tlog-proof text; `extra` goes with it."""
    beside = [f"{EXTRA}{_to_base64(extra)}"] if extra else []
    lines = [PROOF_HEADER, *beside, f"index {index}", *map(_to_base64, path), "", note]
    return "\n".join(lines)


def parse_proof(text: str) -> Proof:
    """Proof from tlog-proof text; path and signature are not checked. Raises NoteError."""
    head, blank, note = text.partition("\n\n")
    lines = head.split("\n")
    if lines[0] != PROOF_HEADER or not blank or len(lines) < 2:
        raise NoteError(f"A proof starts with {PROOF_HEADER} and ends with a checkpoint.")
    extra = lines.pop(1).removeprefix(EXTRA) if lines[1].startswith(EXTRA) else ""
    label, _, number = lines[1].partition(" ") if len(lines) > 1 else ("", "", "")
    if label != "index":
        raise NoteError("A proof names its entry in a line that reads “index” and a number.")
    path = tuple(_from_base64(line, "a hash in the proof") for line in lines[2:])
    if any(len(held) != ROOT_BYTES for held in path):
        raise NoteError(f"Every hash in a proof has {ROOT_BYTES} bytes.")
    _split(note)
    beside = _from_base64(extra, "the extra data of the proof") if extra else b""
    return Proof(_number(number, "index"), path, note, beside)


def _split(note: str) -> tuple[str, list[tuple[str, bytes]]]:
    """Text and signatures (name, key id with signature) of a note."""
    text, blank, block = note.rpartition("\n\n")
    if not blank or not block.endswith("\n"):
        raise NoteError("The note carries no signature; copy the whole of it.")
    _check_text(text + "\n")
    return text + "\n", [_signature(line) for line in block[:-1].split("\n")]


def _signature(line: str) -> tuple[str, bytes]:
    name, space, encoded = line.removeprefix(SIGNATURE_MARK).partition(" ")
    if not line.startswith(SIGNATURE_MARK) or not space:
        raise NoteError("A signature line reads “— name signature”.")
    _check_name(name)
    held = _from_base64(encoded, "the signature")
    if len(held) <= KEY_ID_BYTES:
        raise NoteError("The signature is cut short.")
    return name, held


def _is_signed(text: str, key: VerifierKey, signature: bytes) -> bool:
    if len(signature) != SIGNATURE_BYTES:
        return False
    try:
        Ed25519PublicKey.from_public_bytes(key.public).verify(signature, text.encode())
    except InvalidSignature:
        return False
    return True


def _check_text(text: str) -> None:
    if not text.endswith("\n") or text == "\n":
        raise NoteError("The text of a note needs at least one line, and ends its last one.")
    if any(character < " " and character != "\n" for character in text):
        raise NoteError("The text of a note holds a control character.")
    if any("\ud800" <= character <= "\udfff" for character in text):
        raise NoteError("The text of a note is not Unicode.")


def _check_name(name: str) -> None:
    if not name or "+" in name or any(character.isspace() for character in name):
        raise NoteError(f"{name!r} cannot name a key: no spaces and no plus sign.")


def _number(text: str, what: str) -> int:
    if not re.fullmatch("0|[1-9][0-9]{0,17}", text):
        raise NoteError(f"The {what} is {text!r}; it must be a plain number.")
    return int(text)


def _to_base64(held: bytes) -> str:
    return base64.b64encode(held).decode()


def _from_base64(text: str, what: str) -> bytes:
    try:
        held = base64.b64decode(text.encode("ascii"), validate=True)
    except (binascii.Error, UnicodeEncodeError):
        raise NoteError(f"{what.capitalize()} is not base64; copy it again.") from None
    if _to_base64(held) != text:  # unused bits set: two texts for one value
        raise NoteError(f"{what.capitalize()} is not base64 as it must be written; copy it again.")
    return held
