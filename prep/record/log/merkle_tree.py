"""Merkle tree over the log (RFC 6962): stored nodes, roots, and inclusion and consistency proofs.

A node is addressed (level, index): it covers the leaves index·2^level up to but without
(index + 1)·2^level, and exists only once all of them do, so a stored node never changes. The
caller stores the nodes and passes `get_node(level, index) -> bytes`; extending the tree, its root
and both kinds of proof then take O(log size) reads. All hashes are SHA-256, 32 bytes.
"""

import hashlib
from collections.abc import Callable, Iterable, Sequence
from typing import Final

GetNode = Callable[[int, int], bytes]
Node = tuple[int, int, bytes]

HASH_BYTES: Final = 32
EMPTY_ROOT: Final = hashlib.sha256(b"").digest()


class ProofError(ValueError):
    """A proof is wrong or not well formed; the text says why."""


def leaf_hash(data: bytes) -> bytes:
    """Hash of one entry (RFC 6962 2.1): SHA-256 over 0x00 and the entry."""
    return hashlib.sha256(b"\x00" + data).digest()


def node_hash(left: bytes, right: bytes) -> bytes:
    """Hash of two subtrees side by side (RFC 6962 2.1): SHA-256 over 0x01 and both hashes."""
    return hashlib.sha256(b"\x01" + left + right).digest()


def root_of(leaves: Sequence[bytes]) -> bytes:
    """Root over leaf hashes in memory; without leaves, the SHA-256 of the empty string."""
    nodes = {(level, index): held for level, index, held in appended_nodes(0, leaves, _no_node)}
    return root(len(leaves), lambda level, index: nodes[level, index])


def appended_nodes(size: int, leaves: Iterable[bytes], get_node: GetNode) -> list[Node]:
    """Nodes to store when `leaves` (leaf hashes) are appended to a tree of `size` leaves.

    Level 0 holds the leaves themselves. Reads at most one stored node per level.
    """
    new: dict[tuple[int, int], bytes] = {}
    for position, leaf in enumerate(leaves, start=size):
        _check_hash(leaf, f"leaf {position}")
        level, index, held = 0, position, leaf
        new[level, index] = held
        while index % 2:
            sibling = new.get((level, index - 1)) or get_node(level, index - 1)
            level, index, held = level + 1, index // 2, node_hash(sibling, held)
            new[level, index] = held
    return [(level, index, held) for (level, index), held in new.items()]


def root(size: int, get_node: GetNode) -> bytes:
    """Root of the tree of the first `size` leaves."""
    if size < 0:
        raise ValueError(f"a tree cannot have {size} leaves")
    return _hash_over(0, size, get_node) if size else EMPTY_ROOT


def inclusion_proof(index: int, size: int, get_node: GetNode) -> list[bytes]:
    """Path from leaf `index` to the root of the first `size` leaves (RFC 6962 2.1.1)."""
    if not 0 <= index < size:
        raise ValueError(f"there is no leaf {index} in a tree of {size}")
    path: list[bytes] = []
    start, stop = 0, size
    while stop - start > 1:
        middle = start + _split(stop - start)
        if index < middle:
            path.append(_hash_over(middle, stop, get_node))
            stop = middle
        else:
            path.append(_hash_over(start, middle, get_node))
            start = middle
    return path[::-1]


def consistency_proof(older: int, newer: int, get_node: GetNode) -> list[bytes]:
    """Proof that the first `older` of `newer` leaves are unchanged (RFC 6962 2.1.2)."""
    if not 1 <= older <= newer:
        raise ValueError(f"no consistency proof leads from {older} to {newer} leaves")
    path: list[bytes] = []
    start, stop = 0, newer
    while stop != older:
        middle = start + _split(stop - start)
        if older <= middle:
            path.append(_hash_over(middle, stop, get_node))
            stop = middle
        else:
            path.append(_hash_over(start, middle, get_node))
            start = middle
    if start:
        path.append(_hash_over(start, stop, get_node))
    return path[::-1]


def verify_inclusion(
    index: int, size: int, leaf: bytes, path: Sequence[bytes], root: bytes
) -> None:
    """Check that `leaf` (a leaf hash) is at `index` under `root` (RFC 9162 2.1.3.2).

    Raises ProofError where it is not, or where the proof is not well formed.
    """
    _check_hashes(path, leaf=leaf, root=root)
    if not 0 <= index < size:
        raise ProofError(f"Entry {index} cannot be in a log of {size} entries.")
    position, last, held = index, size - 1, leaf
    for sibling in path:
        if last == 0:
            raise ProofError("The inclusion proof is longer than the log is deep.")
        if position % 2 or position == last:
            held = node_hash(sibling, held)
            position, last = _rise_to_left_turn(position, last)
        else:
            held = node_hash(held, sibling)
        position, last = position // 2, last // 2
    if last:
        raise ProofError("The inclusion proof is shorter than the log is deep.")
    if held != root:
        raise ProofError(f"Entry {index} does not lead to the root of the log.")


def verify_consistency(
    older: int, newer: int, older_root: bytes, newer_root: bytes, path: Sequence[bytes]
) -> None:
    """Check that the log under `newer_root` only appended to `older_root` (RFC 9162 2.1.4.2).

    Raises ProofError where it did not, or where the proof is not well formed. An older log
    without entries proves nothing and is refused.
    """
    _check_hashes(path, older_root=older_root, newer_root=newer_root)
    if not 1 <= older <= newer:
        raise ProofError(f"No consistency can be shown from {older} to {newer} entries.")
    if older == newer:
        if path or older_root != newer_root:
            raise ProofError("Two logs of one size must have one root and need no proof.")
        return
    if not path:
        raise ProofError("The consistency proof is empty.")
    _climb_consistency(older, newer, older_root, newer_root, path)


def _climb_consistency(
    older: int, newer: int, older_root: bytes, newer_root: bytes, path: Sequence[bytes]
) -> None:
    hashes = [older_root, *path] if older & (older - 1) == 0 else list(path)
    position, last = older - 1, newer - 1
    while position % 2:
        position, last = position // 2, last // 2
    older_held = newer_held = hashes[0]
    for sibling in hashes[1:]:
        if last == 0:
            raise ProofError("The consistency proof is longer than the log is deep.")
        if position % 2 or position == last:
            older_held = node_hash(sibling, older_held)
            newer_held = node_hash(sibling, newer_held)
            position, last = _rise_to_left_turn(position, last)
        else:
            newer_held = node_hash(newer_held, sibling)
        position, last = position // 2, last // 2
    if last:
        raise ProofError("The consistency proof is shorter than the log is deep.")
    if older_held != older_root:
        raise ProofError("The proof does not lead to the older root: old entries were changed.")
    if newer_held != newer_root:
        raise ProofError("The proof does not lead to the newer root.")


def _rise_to_left_turn(position: int, last: int) -> tuple[int, int]:
    while position % 2 == 0 and position:
        position, last = position // 2, last // 2
    return position, last


def _hash_over(start: int, stop: int, get_node: GetNode) -> bytes:
    """Hash over the leaves from `start` up to `stop`; `start` is a split point of the RFC."""
    complete: list[bytes] = []
    while start < stop:
        level = (stop - start).bit_length() - 1
        complete.append(get_node(level, start >> level))
        start += 1 << level
    held = complete.pop()
    while complete:
        held = node_hash(complete.pop(), held)
    return held


def _split(size: int) -> int:
    """Largest power of two smaller than `size`."""
    return 1 << ((size - 1).bit_length() - 1)


def _no_node(level: int, index: int) -> bytes:
    raise LookupError(f"an empty tree has no node ({level}, {index})")


def _check_hash(held: bytes, what: str) -> None:
    if len(held) != HASH_BYTES:
        raise ProofError(f"The {what} is {len(held)} bytes long; a SHA-256 hash has {HASH_BYTES}.")


def _check_hashes(path: Sequence[bytes], **named: bytes) -> None:
    for name, held in named.items():
        _check_hash(held, name.replace("_", " "))
    for held in path:
        _check_hash(held, "hash in the proof")
