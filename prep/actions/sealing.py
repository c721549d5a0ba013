"""Sealing the log: events get their positions in the Merkle tree, under a signed root.

Transactions commit in no predictable order. An event therefore gets its position only after it is
committed, from one sealer at a time, so that no later event can get an earlier position.
"""

import os
import stat
from collections.abc import Sequence
from contextlib import suppress
from datetime import datetime, timedelta
from pathlib import Path
from typing import Final

from cryptography.exceptions import UnsupportedAlgorithm
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
from cryptography.hazmat.primitives.serialization import (
    Encoding,
    NoEncryption,
    PrivateFormat,
    load_pem_private_key,
)
from django.conf import settings
from django.db import connection, models, transaction
from django.utils import timezone

from prep.models import Checkpoint, Event, Leaf, LogKey, TreeNode, Unsealed
from prep.queries import log
from prep.record.log import merkle_tree, signed_notes
from prep.record.log.key_notes import introduction
from prep.words.outages.keys import seal_error_text
from prep.words.reader import ENGLISH

BATCH: Final = 200  # events a transaction; writers of SQLite wait for no more than that
NEW_KEY: Final = "manage.py seal --new-key"
OTHERS: Final = stat.S_IRWXG | stat.S_IRWXO
Row = tuple[int | str, ...]
LOCK: Final = 0x5EA1  # any number no other advisory lock of this service uses


class SealError(RuntimeError):
    """The log cannot be signed. `prep.words.keys` says why, and what to do about it."""

    def __init__(self, code: str, **values: str) -> None:
        super().__init__(code)
        self.code = code
        self.values = values

    def __str__(self) -> str:
        return seal_error_text(self.code, ENGLISH, **self.values)


def seal() -> Checkpoint | None:
    """Give all committed events their positions, and sign a checkpoint over the whole log.

    Returns the newest checkpoint, which is an older one where nothing was added since; None for an
    empty log. After an interruption the next call continues. Raises SealError.
    """
    while Unsealed.objects.exists() and _place_batch() == BATCH:
        pass
    newest = log.latest_checkpoint()
    if (newest.size if newest else 0) == log.size():
        return newest
    return _sign()


def new_key() -> LogKey:
    """Create a new signing key. Older signatures are verified with the older public keys."""
    with transaction.atomic():
        _lock()
        return _make_key()


def sign_like(note: str, text: str) -> str:
    """Sign `text` with the key that signed another note of the log.

    With the same key a document that is made again after a change of keys is the same file. Where
    the private half of that key is gone, the newest key signs. Raises SealError.
    """
    name, private = _key_like(note)
    return signed_notes.sign_note(text, name, private)


def key_like(note: str) -> signed_notes.VerifierKey:
    """The public half of the key `sign_like` signs with. Raises SealError."""
    return signed_notes.verifier_key(*_key_like(note))


def _key_like(note: str) -> tuple[str, Ed25519PrivateKey]:
    published = [
        signed_notes.parse_verifier_key(verifier)
        for verifier in LogKey.objects.order_by("-created").values_list("verifier", flat=True)
    ]
    for key in published:
        if key.id in signed_notes.signers(note):
            with suppress(SealError):
                return key.name, private_half(key)
    return settings.LOG_NAME, _signing_key()


@transaction.atomic
def _place_batch() -> int:
    """Give the next events their positions and store the tree nodes; returns how many events."""
    _lock()
    waiting = list(
        Unsealed.objects.order_by("event_id").values_list("event_id", "event__leaf")[:BATCH]
    )
    size = log.size()
    hashes = [bytes.fromhex(held) for _, held in waiting]
    added = log.with_nodes(lambda get_node: merkle_tree.appended_nodes(size, hashes, get_node))
    placed = [(size + place, event) for place, (event, _) in enumerate(waiting)]
    _insert(Leaf, ("position", "event_id"), placed)
    stored = [(level, index, held.hex()) for level, index, held in added]
    _insert(TreeNode, ("level", "index", "hash"), stored)
    Unsealed.objects.filter(pk__in=[event for event, _ in waiting]).delete()
    return len(waiting)


def _insert(table: type[models.Model], columns: Sequence[str], rows: Sequence[Row]) -> None:
    """Insert rows without model instances, which would cost more than the rest of a seal."""
    name = connection.ops.quote_name
    places = ", ".join(["%s"] * len(columns))
    into = f"{name(table._meta.db_table)} ({', '.join(map(name, columns))})"
    with connection.cursor() as cursor:
        cursor.executemany(f"INSERT INTO {into} VALUES ({places})", rows)


@transaction.atomic
def _sign() -> Checkpoint:
    _lock()
    size = log.size()
    newest = log.latest_checkpoint()
    if newest and newest.size == size:
        return newest
    private = _signing_key()
    root = log.root(size)
    previous = newest.size if newest else None
    text = signed_notes.format_checkpoint(
        signed_notes.Checkpoint(settings.LOG_NAME, size, root, previous)
    )
    note = signed_notes.sign_note(text, settings.LOG_NAME, private)
    return Checkpoint.objects.create(
        size=size, root=root.hex(), note=note, created=moment_under(size)
    )


def moment_under(size: int) -> datetime:
    """When the newest of the first `size` entries was recorded.

    A checkpoint carries this time: a time of its own would be covered by no hash and could be
    changed without notice.
    """
    return Event.objects.values_list("recorded", flat=True).get(sealed__position=size - 1)


def _lock() -> None:
    """Lock out other sealers until the transaction ends.

    On SQLite the whole database is locked already: each transaction begins IMMEDIATE.
    """
    if connection.vendor == "postgresql":
        with connection.cursor() as cursor:
            cursor.execute("SELECT pg_advisory_xact_lock(%s)", [LOCK])


def _signing_key() -> Ed25519PrivateKey:
    """The private half of the newest key of this log; the first key is created here."""
    newest = LogKey.objects.order_by("-created").first()
    if newest is None or signed_notes.parse_verifier_key(newest.verifier).name != settings.LOG_NAME:
        newest = _make_key()
    return private_half(signed_notes.parse_verifier_key(newest.verifier))


def private_half(key: signed_notes.VerifierKey) -> Ed25519PrivateKey:
    """The private half of a published key.

    Raises SealError, which says what to do, where the file is missing, damaged, of another key, or
    readable by others on this machine.
    """
    path = _path(key)
    try:
        if os.name == "posix" and path.stat().st_mode & OTHERS:
            raise SealError("key-open", file=path.name, command=NEW_KEY)
        private = load_pem_private_key(path.read_bytes(), password=None)
    except FileNotFoundError as missing:
        raise SealError("key-missing", file=path.name, command=NEW_KEY) from missing
    except OSError as closed:
        raise SealError("key-unreadable", file=path.name) from closed
    except (ValueError, TypeError, UnsupportedAlgorithm) as damaged:
        raise SealError("key-damaged", file=path.name) from damaged
    if not isinstance(private, Ed25519PrivateKey):
        raise SealError("key-of-another-kind", file=path.name)
    if signed_notes.verifier_key(key.name, private) != key:
        # A checkpoint signed with it would be under no published key, and could not be withdrawn.
        raise SealError("key-of-another-name", file=path.name)
    return private


def _make_key() -> LogKey:
    """Create a key pair: the private half in a file, then the public half in the log's keys.

    In this order no published key lacks its private half; a crash in between leaves a file that
    nothing refers to.
    """
    private = Ed25519PrivateKey.generate()
    public = signed_notes.verifier_key(settings.LOG_NAME, private)
    held = private.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption())
    path = _path(public)
    path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    file = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(file, "wb") as opened:
        opened.write(held)
        opened.flush()
        os.fsync(opened.fileno())
    newest = LogKey.objects.order_by("-created").first()
    text = introduction(public, newest.verifier if newest else "")
    return LogKey.objects.create(
        verifier=public.text,
        note=signed_notes.sign_note(text, public.name, private),
        created=_after(newest),
    )


def _after(newest: LogKey | None) -> datetime:
    """Now, or just after the newest key where the clock was set back: keys are ordered by time."""
    now = timezone.now()
    return max(now, newest.created + timedelta(microseconds=1)) if newest else now


def _path(key: signed_notes.VerifierKey) -> Path:
    return Path(settings.KEYS) / f"{key.id.hex()}.pem"
