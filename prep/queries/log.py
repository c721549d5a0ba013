"""Reads of the sealed log: entries by position, checkpoints, keys, and both kinds of proof.

The number of statements a function takes does not grow with the log.
"""

from collections.abc import Callable, Iterable, Sequence
from datetime import datetime
from itertools import groupby
from operator import itemgetter
from typing import Final, NamedTuple, TypeVar

from django.db.models import Q

from prep.models import Checkpoint, Event, Leaf, LogKey, TreeNode, Unsealed
from prep.record import reference_events
from prep.record.log import merkle_tree
from prep.record.log.signed_notes import VerifierKey, format_proof, parse_verifier_key
from prep.record.refusal import Refusal
from prep.record.wording.events import WordingKept

T = TypeVar("T")
Address = tuple[int, int]
FEW: Final = 130  # nodes one statement asks for one by one; a proof in any log needs fewer
PAGE: Final = 500  # nodes of one level a statement asks for


class Entry(NamedTuple):
    """An event and its position in the log, counted from 0."""

    position: int
    event: Event


def size() -> int:
    """Number of sealed entries."""
    last = Leaf.objects.order_by("-position").values_list("position", flat=True).first()
    return 0 if last is None else last + 1


def after(read: int, limit: int) -> list[Entry]:
    """At most `limit` entries after the first `read`, oldest first.

    A consumer that keeps the number it has read as its cursor sees every entry once and in order:
    positions have no gaps, and none is filled later.
    """
    leaves = Leaf.objects.filter(position__gte=read).order_by("position").select_related("event")
    return [Entry(leaf.position, leaf.event) for leaf in leaves[:limit]]


def wording_of(digest: str) -> WordingKept:
    """The wording with this digest; Refusal where the log has none."""
    body = Event.objects.filter(stream="wording", stream_id=digest).values_list("body", flat=True)
    found = body.first()
    if found is None:
        raise Refusal("no-such-wording", field="digest")
    wording = reference_events.decode(found)
    assert isinstance(wording, WordingKept)
    return wording


def position_of(event: int) -> int | None:
    """Position of an event in the log; None until it is sealed."""
    return Leaf.objects.filter(event_id=event).values_list("position", flat=True).first()


def unsealed_since() -> datetime | None:
    """When the oldest unsealed event was recorded; None if all are sealed. One query."""
    waiting = Unsealed.objects.order_by("event_id")
    return waiting.values_list("event__recorded", flat=True).first()


def latest_checkpoint() -> Checkpoint | None:
    """The newest checkpoint; None for a log that was never sealed."""
    return Checkpoint.objects.order_by("-size").first()


def checkpoint_of(size: int) -> Checkpoint:
    """The checkpoint over the first `size` entries; Refusal where none was signed."""
    checkpoint: Checkpoint | None = Checkpoint.objects.filter(size=size).first()
    if checkpoint is None:
        raise Refusal("no-such-checkpoint", field="size", size=size)
    return checkpoint


def first_checkpoint_over(position: int) -> Checkpoint | None:
    """The first checkpoint over an entry, the same whenever it is asked for; None before it is."""
    return Checkpoint.objects.filter(size__gt=position).order_by("size").first()


def public_keys() -> list[VerifierKey]:
    """Every key the log was ever signed with, oldest first."""
    keys = LogKey.objects.order_by("created").values_list("verifier", flat=True)
    return [parse_verifier_key(text) for text in keys]


def inclusion_proof(position: int, size: int) -> list[bytes]:
    """Hashes from the entry at `position` to the root over the first `size` entries. One query."""
    return with_nodes(lambda get_node: merkle_tree.inclusion_proof(position, size, get_node))


def consistency_proof(older: int, newer: int) -> list[bytes]:
    """Proof that the first `older` of `newer` entries are unchanged. One query."""
    return with_nodes(lambda get_node: merkle_tree.consistency_proof(older, newer, get_node))


def root(size: int) -> bytes:
    """Root hash over the first `size` entries. One query."""
    return with_nodes(lambda get_node: merkle_tree.root(size, get_node))


def roots(sizes: Sequence[int]) -> list[bytes]:
    """Root hashes for many sizes. One query for each level of the tree and 500 nodes."""
    return with_nodes(lambda get_node: [merkle_tree.root(size, get_node) for size in sizes])


def proof_text(event: int, checkpoint: Checkpoint, extra: bytes = b"") -> str:
    """Proof that an event is under a checkpoint, as tlog-proof text with `extra`. Two queries.

    Raises Refusal where the checkpoint was signed before the event was sealed.
    """
    position = position_of(event)
    if position is None or position >= checkpoint.size:
        raise Refusal("not-under-checkpoint")
    path = inclusion_proof(position, checkpoint.size)
    return format_proof(position, path, checkpoint.note, extra)


def with_nodes(compute: Callable[[merkle_tree.GetNode], T]) -> T:
    """Run a computation over the stored tree, with all the nodes it reads fetched at once.

    Which nodes a computation reads depends only on sizes and positions, so a first run over blank
    nodes shows which to fetch.
    """
    asked: list[Address] = []

    def ask(level: int, index: int) -> bytes:
        asked.append((level, index))
        return bytes(merkle_tree.HASH_BYTES)

    compute(ask)
    nodes = nodes_at(asked)
    return compute(lambda level, index: nodes[level, index])


def nodes_at(addresses: Iterable[Address]) -> dict[Address, bytes]:
    """Stored nodes by address. One query for the few nodes of a proof, none for no nodes."""
    wanted = sorted(set(addresses))
    if len(wanted) > FEW:
        return _many_nodes(wanted)
    places = Q()
    for level, index in wanted:
        places |= Q(level=level, index=index)
    return _read_nodes(places) if wanted else {}


def _many_nodes(wanted: Sequence[Address]) -> dict[Address, bytes]:
    nodes = {}
    for level, group in groupby(wanted, key=itemgetter(0)):
        indexes = [index for _, index in group]
        for start in range(0, len(indexes), PAGE):
            nodes.update(_read_nodes(Q(level=level, index__in=indexes[start : start + PAGE])))
    return nodes


def _read_nodes(places: Q) -> dict[Address, bytes]:
    stored = TreeNode.objects.filter(places).values_list("level", "index", "hash")
    return {(level, index): bytes.fromhex(held) for level, index, held in stored}
