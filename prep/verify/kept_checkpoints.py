"""Verification against checkpoints that were kept outside this service.

Whoever holds the whole database can rewrite all of the log, and nothing inside the database can
tell. A checkpoint that somebody kept can: the log must still hold every entry it was signed over,
and the consistency proof from it to the newest checkpoint must hold (RFC 9162 2.1.4).
"""

from collections.abc import Iterator, Sequence
from typing import Final

from prep.queries import log
from prep.record.log import merkle_tree
from prep.record.log.signed_notes import Checkpoint, VerifierKey
from prep.verify.checkpoints import LogUnder, published_keys, signed_by_log
from prep.verify.findings import Code, Fault, Finding, Result, Statement

# A fault of the log under a checkpoint, as it is called of one that somebody kept.
_OF_KEPT: Final[dict[Code, Code]] = {
    "checkpoint-log-short": "kept-log-short",
    "checkpoint-rootless": "kept-rootless",
    "checkpoint-log-differs": "kept-log-differs",
}


def kept(notes: Sequence[str]) -> Iterator[Result]:
    """Check that the log still holds every entry under each checkpoint; say how far they reach."""
    if not notes:
        yield Statement("kept-none", proved=False)
        return
    keys, _ = published_keys()
    sizes = []
    for note in notes:
        checked = _kept(note, keys)
        if isinstance(checked, Finding):
            yield checked
        else:
            sizes.append(checked)
    if sizes:
        yield Statement("kept-agree", {"count": len(sizes), "size": max(sizes)})
        if max(sizes) < log.size():
            yield Statement("kept-older", {"position": max(sizes)}, proved=False)


def _kept(note: str, keys: Sequence[VerifierKey]) -> Finding | int:
    """How many entries are proved to be those under a checkpoint, or what is wrong."""
    signed = signed_by_log(note, keys)
    if isinstance(signed, Fault):
        return Finding("kept-checkpoint", "", *signed)
    under = LogUnder.of([signed.size])
    fault = under.fault(signed.size, signed.root.hex()) or _inconsistency(signed)
    if fault is None:
        return signed.size
    values = {"size": signed.size, **fault.values}
    return Finding("kept-checkpoint", str(signed.size), _OF_KEPT[fault.code], values)


def _inconsistency(kept: Checkpoint) -> Fault | None:
    """What is wrong where the newest checkpoint is not over a continuation of the kept one."""
    newest = log.latest_checkpoint()
    if newest is None or newest.size < kept.size:
        return None  # entries without a checkpoint have a finding of their own
    try:
        path = log.consistency_proof(kept.size, newest.size)
        merkle_tree.verify_consistency(
            kept.size, newest.size, kept.root, bytes.fromhex(newest.root), path
        )
    except KeyError:  # a node that the proof needs is missing
        return Fault("checkpoint-rootless")
    except ValueError:
        return Fault("checkpoint-log-differs")
    return None
