"""Verifying the signatures: every checkpoint, every key, and no entry without a checkpoint."""

from collections.abc import Iterator

from prep.actions.findings import Finding, Tell
from prep.actions.sealing import moment_under
from prep.actions.verifying_log import pages, readable
from prep.models import Checkpoint, LogKey
from prep.queries import log
from prep.record import notes


def checkpoints(tell: Tell) -> Iterator[Finding]:
    """Every checkpoint under its signature, every entry under a checkpoint, every key in use."""
    start, covered = log.size(), 0
    keys: list[notes.VerifierKey] = []
    for text in LogKey.objects.order_by("created").values_list("verifier", flat=True):
        try:
            keys.append(notes.parse_verifier_key(text))
        except notes.NoteError as wrong:
            yield Finding("key", text, f"A published key was altered. {wrong}")
    used: set[str] = set()
    total, done = Checkpoint.objects.count(), 0
    for page in pages(Checkpoint.objects.all(), "size"):
        found = readable(Checkpoint.objects.all(), page)
        for size in page:
            covered = max(covered, size)
            amiss = _amiss(found.get(size), keys, used)
            if amiss:
                yield Finding("checkpoint", str(size), f"Checkpoint over {size} entries: {amiss}")
        done += len(page)
        tell("checkpoints", done, total)
    if covered < start:
        text = (
            f"Entries from position {covered} on are under no checkpoint. Run “manage.py seal”; if "
            "they were under one before, it was removed."
        )
        yield Finding("checkpoint", str(start), text)
    for key in keys[:-1]:  # the newest may not have signed yet
        if key.text not in used:
            yield Finding("key", key.text, f"Key {key.id.hex()} never signed a checkpoint.")


def _amiss(checkpoint: Checkpoint | None, keys: list[notes.VerifierKey], used: set[str]) -> str:
    """What is wrong with a checkpoint, or nothing. Enters the keys that signed it in `used`."""
    if checkpoint is None:
        return "its row cannot be read."
    try:
        signed = notes.parse_checkpoint(notes.verify_note(checkpoint.note, keys))
    except notes.NoteError as wrong:
        return str(wrong)
    signers = [key for key in keys if _signed_by(checkpoint.note, key)]
    used.update(key.text for key in signers)
    if signed.origin not in {key.name for key in signers}:
        return f"it speaks of the log “{signed.origin}”, which its signer does not keep."
    if (signed.size, signed.root.hex()) != (checkpoint.size, checkpoint.root):
        return "the row says another size or root than what was signed."
    return _amiss_below(checkpoint)


def _amiss_below(checkpoint: Checkpoint) -> str:
    """What is wrong with the log under a checkpoint, or nothing."""
    entries = log.size()
    if checkpoint.size > entries:
        return f"the log has only {entries} entries left."
    try:
        if log.root(checkpoint.size).hex() != checkpoint.root:
            return "the log under it is not the one that was signed."
    except (KeyError, ValueError):
        return "its root cannot be recomputed: nodes of the tree are missing or altered."
    return _wrong_moment(checkpoint)


def _wrong_moment(checkpoint: Checkpoint) -> str:
    try:
        right = checkpoint.created == moment_under(checkpoint.size)
    except Exception:  # the event is missing or cannot be read, which is a finding of its own
        return ""
    return "" if right else "its moment is not that of the newest entry under it."


def _signed_by(note: str, key: notes.VerifierKey) -> bool:
    try:
        notes.verify_note(note, [key])
    except notes.NoteError:
        return False
    return True
