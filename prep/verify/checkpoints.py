"""Verification of checkpoints and keys: signatures, order, and no entry without a checkpoint.

A published key is trusted only for the checkpoints of its time: once a newer key has signed, a
checkpoint by an older one was made by whoever still holds the retired key. Each checkpoint names
the one before it, so that a removed one is detected. Each key says which key it follows, and the
newest must be the one this service signs with: so nobody else's key can stand among them.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Self

from prep.actions import sealing
from prep.models import Checkpoint, Event, Leaf, LogKey
from prep.queries import log
from prep.record.log import signed_notes
from prep.record.log.key_notes import followed
from prep.verify.findings import Code, Fault, Finding, Tell
from prep.verify.log import pages, readable


@dataclass
class _CheckpointHistory:
    """State kept while checkpoints are read, smallest first: the keys used and the last size."""

    keys: list[signed_notes.VerifierKey]  # oldest first
    used: set[str] = field(default_factory=set)
    newest: int = 0  # index in `keys` of the newest that has signed
    before: int | None = None  # size of the checkpoint read last
    linked: bool = False  # whether a checkpoint has named the one before it


@dataclass
class LogUnder:
    """The log as it stands under a page of checkpoints, by their sizes."""

    entries: int
    roots: dict[int, str]
    moments: dict[int, datetime]

    @classmethod
    def of(cls, sizes: Sequence[int]) -> Self:
        """Read the log under checkpoints of these sizes."""
        return cls(log.size(), _roots(sizes), _moments(sizes))

    def fault(self, size: int, root: str) -> Fault | None:
        """What is wrong with the log under a checkpoint, if anything. `root` is in hex."""
        if size > self.entries:
            return Fault("checkpoint-log-short", {"entries": self.entries})
        if size not in self.roots:
            return Fault("checkpoint-rootless")
        return None if self.roots[size] == root else Fault("checkpoint-log-differs")


def signed_by_log(
    note: str, keys: Sequence[signed_notes.VerifierKey]
) -> signed_notes.Checkpoint | Fault:
    """The checkpoint in a note that comes from outside, or why it is none of this log."""
    try:
        return signed_notes.parse_checkpoint(signed_notes.verify_note(note, keys))
    except signed_notes.NoteError as wrong:
        signers = signed_notes.signers(note)
        if {key.id for key in keys} & set(signers):
            return Fault("kept-invalid", {"detail": str(wrong)})
        return Fault("kept-other-key", {"key": ", ".join(held.hex() for held in signers)})


def _roots(sizes: Sequence[int]) -> dict[int, str]:
    """Root hashes, in hex, by size, without those that cannot be recomputed."""
    try:
        return {size: root.hex() for size, root in zip(sizes, log.roots(sizes), strict=True)}
    except (KeyError, ValueError):
        if len(sizes) == 1:
            return {}
        middle = len(sizes) // 2
        return _roots(sizes[:middle]) | _roots(sizes[middle:])


def _moments(sizes: Sequence[int]) -> dict[int, datetime]:
    """When the newest entry under each size was recorded.

    One that cannot be read is left out; the check of events has a finding for it.
    """
    last = Leaf.objects.filter(position__in=[size - 1 for size in sizes])
    events = {event: position + 1 for position, event in last.values_list("position", "event_id")}
    last_events = readable(Event.objects.all(), events)
    return {events[pk]: event.recorded for pk, event in last_events.items()}


def checkpoints(tell: Tell) -> Iterator[Finding]:
    """Check each checkpoint's signature, and that no entry is without one and no key unused."""
    start = log.size()
    keys, unreadable = published_keys()
    yield from unreadable
    history = _CheckpointHistory(keys)
    total, done = Checkpoint.objects.count(), 0
    for page in pages(Checkpoint.objects.all(), "size"):
        stored = readable(Checkpoint.objects.all(), page)
        log_under = LogUnder.of(page)
        for size in page:
            fault = _fault(stored.get(size), history, log_under)
            history.before = size
            if fault:
                yield Finding("checkpoint", str(size), fault.code, {"size": size, **fault.values})
        done += len(page)
        tell("checkpoints", done, total)
    yield from succession(keys)
    covered = history.before or 0
    if covered < start:
        yield Finding("checkpoint", str(start), "entries-uncovered", {"position": covered})
    yield from _idle_keys(history)
    yield from _newest_key(history)


def published_keys() -> tuple[list[signed_notes.VerifierKey], list[Finding]]:
    """Published keys that can be read, oldest first, and a finding for each that cannot."""
    keys, unreadable = [], []
    for text in LogKey.objects.order_by("created").values_list("verifier", flat=True):
        try:
            keys.append(signed_notes.parse_verifier_key(text))
        except signed_notes.NoteError as wrong:
            unreadable.append(Finding("key", text, "key-altered", {"detail": str(wrong)}))
    return keys, unreadable


def succession(keys: Sequence[signed_notes.VerifierKey]) -> Iterator[Finding]:
    """Check that each key says itself, under its own signature, that it follows the one before.

    The keys are read from the newest back: it is the one that nobody else can be.
    """
    notes = dict(LogKey.objects.values_list("verifier", "note"))
    following = keys[-1] if keys else None
    expected: str | None = following.text if following else ""
    for key in reversed(keys):
        if expected is not None and key.text != expected:
            yield Finding("key", key.text, "key-added", {"key": key.id.hex()})
            continue
        following, expected = key, predecessor(key, notes[key.text])
        if expected is None:
            yield Finding("key", key.text, "key-note-altered", {"key": key.id.hex()})
    if following and expected:
        named = {"key": following.id.hex(), "before": expected}
        yield Finding("key", following.text, "key-before-missing", named)


def predecessor(key: signed_notes.VerifierKey, note: str) -> str | None:
    """The key that a key says it follows, empty for none; None where it does not say so itself."""
    try:
        return followed(key, signed_notes.verify_note(note, [key]))
    except signed_notes.NoteError:
        return None


def _idle_keys(history: _CheckpointHistory) -> Iterator[Finding]:
    """Findings for keys that never signed, except the newest."""
    for key in history.keys[:-1]:
        if key.text not in history.used:
            yield Finding("key", key.text, "key-unused", {"key": key.id.hex()})


def _newest_key(history: _CheckpointHistory) -> Iterator[Finding]:
    """A finding where this service cannot sign with the newest key: then it is not this log's."""
    for key in history.keys[-1:]:
        try:
            sealing.private_half(key)
        except sealing.SealError as wrong:
            code: Code = "key-not-here" if key.text in history.used else "key-unused-newest"
            yield Finding("key", key.text, code, {"key": key.id.hex(), "detail": str(wrong)})


def _fault(
    checkpoint: Checkpoint | None, history: _CheckpointHistory, log_under: LogUnder
) -> Fault | None:
    """What is wrong with a checkpoint, if anything."""
    if checkpoint is None:
        return Fault("checkpoint-unreadable")
    try:
        signed = signed_notes.parse_checkpoint(
            signed_notes.verify_note(checkpoint.note, history.keys)
        )
    except signed_notes.NoteError as wrong:
        return Fault("checkpoint-invalid", {"detail": str(wrong)})
    if (signed.size, signed.root.hex()) != (checkpoint.size, checkpoint.root):
        return Fault("checkpoint-row-differs")
    return (
        _signature_fault(checkpoint.note, signed.origin, history)
        or _order_fault(signed, history)
        or log_under.fault(checkpoint.size, checkpoint.root)
        or _moment_fault(checkpoint, log_under)
    )


def _signature_fault(note: str, origin: str, history: _CheckpointHistory) -> Fault | None:
    """What is wrong with a signature, if anything. Notes the key as used.

    It must be the only one, by a key of this log that was not replaced before.
    """
    place = next(at for at, key in enumerate(history.keys) if _signed_by(note, key))
    key = history.keys[place]
    history.used.add(key.text)
    if note.rpartition("\n\n")[2].count("\n") != 1:
        return Fault("checkpoint-extra-signature")
    if origin != key.name:
        return Fault("checkpoint-other-log", {"origin": origin})
    if place < history.newest:
        return Fault("checkpoint-retired-key", {"key": key.id.hex()})
    history.newest = place
    return None


def _order_fault(signed: signed_notes.Checkpoint, history: _CheckpointHistory) -> Fault | None:
    """What is wrong with the checkpoint stored before; None if it is the one named."""
    if signed.previous is None:
        return Fault("checkpoint-unlinked") if history.linked else None
    previous = {"previous": signed.previous}
    history.linked = True
    if history.before is None or history.before < signed.previous:
        return Fault("checkpoint-gap", previous)
    if history.before > signed.previous:
        return Fault("checkpoint-inserted", previous)
    return None


def _moment_fault(checkpoint: Checkpoint, log_under: LogUnder) -> Fault | None:
    """What is wrong with the moment of signing; None if it is that of the newest entry."""
    right = log_under.moments.get(checkpoint.size)
    if right in {None, checkpoint.created}:
        return None
    return Fault("checkpoint-moment")


def _signed_by(note: str, key: signed_notes.VerifierKey) -> bool:
    try:
        signed_notes.verify_note(note, [key])
    except signed_notes.NoteError:
        return False
    return True
