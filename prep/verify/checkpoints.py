"""Verifying the signatures: every checkpoint, every key, and no entry without a checkpoint.

A published key is trusted for the checkpoints of its time only: once a newer key has signed, a
checkpoint by an older one was made by whoever still holds the retired key. Each checkpoint names
the one before it, so that one taken away is missed.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Self

from prep.actions import sealing
from prep.models import Checkpoint, Event, Leaf, LogKey
from prep.queries import log
from prep.record.log import signed_notes
from prep.verify.findings import Finding, Tell
from prep.verify.log import pages, readable


@dataclass
class _Signings:
    """What the checkpoints read so far, smallest first, say of keys and of each other."""

    keys: list[signed_notes.VerifierKey]  # oldest first
    used: set[str] = field(default_factory=set)
    newest: int = 0  # place in `keys` of the newest that has signed
    before: int | None = None  # size of the checkpoint read last
    linked: bool = False  # whether one has named the checkpoint before it


@dataclass
class _Below:
    """What the log has under some checkpoints, by their sizes: read for a page of them at once."""

    entries: int
    roots: dict[int, str]
    moments: dict[int, datetime]

    @classmethod
    def of(cls, sizes: Sequence[int]) -> Self:
        """What is under the checkpoints of these sizes."""
        return cls(log.size(), _roots(sizes), _moments(sizes))

    def amiss(self, size: int, root: str) -> str:
        """What is wrong with the log under a checkpoint of a root, or nothing."""
        if size > self.entries:
            return f"the log has only {self.entries} entries left."
        if size not in self.roots:
            return "its root cannot be recomputed: nodes of the tree are missing or altered."
        return (
            "" if self.roots[size] == root else "the log under it is not the one that was signed."
        )


def _roots(sizes: Sequence[int]) -> dict[int, str]:
    """Roots by size, without those that cannot be recomputed."""
    try:
        return {size: root.hex() for size, root in zip(sizes, log.roots(sizes), strict=True)}
    except (KeyError, ValueError):
        if len(sizes) == 1:
            return {}
        middle = len(sizes) // 2
        return _roots(sizes[:middle]) | _roots(sizes[middle:])


def _moments(sizes: Sequence[int]) -> dict[int, datetime]:
    """When the newest entry under each size was recorded; one that cannot be read is a finding of
    its own, elsewhere."""
    last = Leaf.objects.filter(position__in=[size - 1 for size in sizes])
    events = {event: position + 1 for position, event in last.values_list("position", "event_id")}
    found = readable(Event.objects.all(), events)
    return {events[pk]: event.recorded for pk, event in found.items()}


def checkpoints(tell: Tell) -> Iterator[Finding]:
    """Every checkpoint under its signature, every entry under a checkpoint, every key in use."""
    start = log.size()
    keys, unreadable = _published_keys()
    yield from unreadable
    signings = _Signings(keys)
    total, done = Checkpoint.objects.count(), 0
    for page in pages(Checkpoint.objects.all(), "size"):
        found = readable(Checkpoint.objects.all(), page)
        below = _Below.of(page)
        for size in page:
            amiss = _amiss(found.get(size), signings, below)
            signings.before = size
            if amiss:
                yield Finding("checkpoint", str(size), f"Checkpoint over {size} entries: {amiss}")
        done += len(page)
        tell("checkpoints", done, total)
    covered = signings.before or 0
    if covered < start:
        text = (
            f"Entries from position {covered} on are under no checkpoint. Run “manage.py seal”; if "
            "they were under one before, it was removed."
        )
        yield Finding("checkpoint", str(start), text)
    yield from _idle_keys(signings)


def kept(note: str) -> Iterator[Finding]:
    """A checkpoint that somebody kept elsewhere: the log still holds all it was signed over.

    This is what shows a log rewritten as a whole, which nothing inside the database can.
    """
    try:
        signed = signed_notes.parse_checkpoint(signed_notes.verify_note(note, _published_keys()[0]))
    except signed_notes.NoteError as wrong:
        yield Finding("kept checkpoint", "", f"The checkpoint you kept: {wrong}")
        return
    amiss = _Below.of([signed.size]).amiss(signed.size, signed.root.hex())
    if amiss:
        text = f"The checkpoint you kept, over {signed.size} entries: {amiss}"
        yield Finding("kept checkpoint", str(signed.size), text)


def _published_keys() -> tuple[list[signed_notes.VerifierKey], list[Finding]]:
    """Published keys that can be read, oldest first, and a finding for each that cannot."""
    keys, unreadable = [], []
    for text in LogKey.objects.order_by("created").values_list("verifier", flat=True):
        try:
            keys.append(signed_notes.parse_verifier_key(text))
        except signed_notes.NoteError as wrong:
            unreadable.append(Finding("key", text, f"A published key was altered. {wrong}"))
    return keys, unreadable


def _idle_keys(signings: _Signings) -> Iterator[Finding]:
    """Keys that never signed. A new one may not have yet, if this service holds its other half."""
    for key in signings.keys:
        if key.text in signings.used:
            continue
        text = f"Key {key.id.hex()} never signed a checkpoint: it was added."
        if key is signings.keys[-1]:
            try:
                sealing.private_half(key)
            except sealing.SealError as wrong:
                text = f"{text} If it is your own new one: {wrong}"
            else:
                continue
        yield Finding("key", key.text, text)


def _amiss(checkpoint: Checkpoint | None, signings: _Signings, below: _Below) -> str:
    """What is wrong with a checkpoint, or nothing."""
    if checkpoint is None:
        return "its row cannot be read."
    try:
        signed = signed_notes.parse_checkpoint(
            signed_notes.verify_note(checkpoint.note, signings.keys)
        )
    except signed_notes.NoteError as wrong:
        return str(wrong)
    if (signed.size, signed.root.hex()) != (checkpoint.size, checkpoint.root):
        return "the row says another size or root than what was signed."
    return (
        _amiss_signature(checkpoint.note, signed.origin, signings)
        or _amiss_before(signed, signings)
        or below.amiss(checkpoint.size, checkpoint.root)
        or _wrong_moment(checkpoint, below)
    )


def _amiss_signature(note: str, origin: str, signings: _Signings) -> str:
    """Who signed: one key, of this log, and not one that was replaced. Enters it as used."""
    place = next(at for at, key in enumerate(signings.keys) if _signed_by(note, key))
    key = signings.keys[place]
    signings.used.add(key.text)
    if note.rpartition("\n\n")[2].count("\n") != 1:
        return "it bears more signatures than the one it was signed with."
    if origin != key.name:
        return f"it speaks of the log “{origin}”, which its signer does not keep."
    if place < signings.newest:
        return (
            f"it was signed with key {key.id.hex()} after that key had been replaced: whoever "
            "still holds it may have made this checkpoint."
        )
    signings.newest = place
    return ""


def _amiss_before(signed: signed_notes.Checkpoint, signings: _Signings) -> str:
    """Whether the checkpoint stored before it is the one it was signed after."""
    if signed.previous is None:
        return "it does not say which checkpoint it follows." if signings.linked else ""
    signings.linked = True
    if signings.before is None or signings.before < signed.previous:
        return f"the one signed before it, over {signed.previous} entries, is missing."
    if signings.before > signed.previous:
        return f"it follows the one over {signed.previous} entries; one between them was added."
    return ""


def _wrong_moment(checkpoint: Checkpoint, below: _Below) -> str:
    right = below.moments.get(checkpoint.size)
    if right in {None, checkpoint.created}:
        return ""
    return "its moment is not that of the newest entry under it."


def _signed_by(note: str, key: signed_notes.VerifierKey) -> bool:
    try:
        signed_notes.verify_note(note, [key])
    except signed_notes.NoteError:
        return False
    return True
