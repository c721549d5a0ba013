"""The log's entries in a bundle, each with its proof, read page by page in the order of the log."""

import base64
from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from itertools import islice
from typing import Final, NamedTuple

from django.db.models import Q

from prep.actions.wordings import STREAM as WORDINGS
from prep.models import Event, Leaf, TreeNode
from prep.record.log import canonical_json, merkle_tree
from prep.record.log.envelope import leaf_data
from reports.bundles.contents import Cut, Payload

PAGE: Final = 500  # entries a page; also the most values one statement asks for
FEW: Final = 500  # most units looked up by id; for more, the log is scanned
SCAN: Final = 10_000  # entries a page of a scan, which reads only the unit of each
KEPT_FROM: Final = 10  # levels of the tree whose nodes many pages share


class Fault(StrEnum):
    """What is wrong with an entry: it, or only the hash stored with it, is not what was sealed."""

    NOT_AS_SEALED = "not-as-sealed"
    HASH_CHANGED = "hash-changed"


class EntryFault(NamedTuple):
    """A fault of an entry of a unit; `version` is the unit's by this entry."""

    unit: str
    position: int
    version: int
    fault: Fault


@dataclass
class Written:
    """Outcome of writing entries: how many, the last version of each stream, and faults."""

    events: int = 0
    streams: dict[tuple[str, str], int] = field(default_factory=dict)
    faults: list[EntryFault] = field(default_factory=list)


def put_events(
    payload: Payload,
    cut: Cut,
    units: Collection[str],
    *,
    tell: Callable[[float], None] = lambda _: None,
) -> Written:
    """Write the units' entries and their inclusion proofs; each proof is checked on the way.

    With them goes every wording that people signed or acknowledged: there are few, and whoever
    reads a signature has to know what it says.

    `tell` is called once a page, with the share of the log that is passed. An entry whose proof
    fails is written all the same: the bundle must show what is there.
    """
    written = Written()
    proofs = Proofs(cut.checkpoint.size)
    root = bytes.fromhex(cut.checkpoint.root)
    with (
        payload.writing("events.jsonl") as events,
        payload.writing("proof/inclusion.jsonl") as places,
    ):
        for page in _pages(cut, units):
            paths = proofs.paths([position for position, _ in page])
            for (position, event), path in zip(page, paths, strict=True):
                data = leaf_data(event.envelope())
                written.faults += _faults(position, event, data, path, root, cut.checkpoint.size)
                written.streams[event.stream, event.stream_id] = event.version
                events.write(data.decode() + "\n")
                place = {"index": position, "path": [base64.b64encode(h).decode() for h in path]}
                places.write(canonical_json.encode(place).decode() + "\n")
            written.events += len(page)
            tell(page[-1][0] / cut.checkpoint.size)
    return written


def _pages(cut: Cut, units: Collection[str]) -> Iterator[list[tuple[int, Event]]]:
    """The entries within the cut, in sealed order, at most PAGE at a time.

    Positions are looked up first. Asked for entries of some units in the order of the log,
    databases put all of them in order for every page.
    """
    positions = iter(_looked_up(cut, units) if len(units) <= FEW else _scanned(cut, units))
    while page := list(islice(positions, PAGE)):
        leaves = Leaf.objects.filter(position__in=page).order_by("position")
        yield [(leaf.position, leaf.event) for leaf in leaves.select_related("event")]


def _looked_up(cut: Cut, units: Collection[str]) -> list[int]:
    """Positions of a few units' entries, looked up by the units' ids, and of the wordings."""
    theirs = Q(event__stream="unit", event__stream_id__in=units) | Q(event__stream=WORDINGS)
    leaves = Leaf.objects.filter(theirs, position__lt=cut.checkpoint.size)
    if cut.known_at is not None:
        leaves = leaves.filter(event__recorded__lte=cut.known_at)
    return sorted(leaves.values_list("position", flat=True))


def _scanned(cut: Cut, units: Collection[str]) -> Iterator[int]:
    """Positions of many units' entries and of the wordings, by a scan of the log."""
    leaves = Leaf.objects.filter(position__lt=cut.checkpoint.size).order_by("position")
    owners = leaves.values_list("position", "event__stream", "event__stream_id", "event__recorded")
    read = -1
    while page := list(owners.filter(position__gt=read)[:SCAN]):
        read = page[-1][0]
        for position, stream, owner, recorded in page:
            within = cut.known_at is None or recorded <= cut.known_at
            if within and (stream == WORDINGS or (stream == "unit" and owner in units)):
                yield position


class Proofs:
    """Inclusion proofs of many entries, in a few statements a page.

    Nodes high in the tree are asked for again and again and are kept; there are few of them.
    """

    def __init__(self, size: int) -> None:
        self._size = size
        self._kept: dict[tuple[int, int], bytes] = {}

    def paths(self, positions: Sequence[int]) -> list[list[bytes]]:
        """Path of each entry to the root over the first `size` entries."""
        wanted: dict[int, set[int]] = {}

        def ask(level: int, index: int) -> bytes:
            if (level, index) not in self._kept:
                wanted.setdefault(level, set()).add(index)
            return bytes(merkle_tree.HASH_BYTES)

        for position in positions:
            merkle_tree.inclusion_proof(position, self._size, ask)
        nodes = {**self._kept, **_nodes(wanted)}
        self._kept = {place: held for place, held in nodes.items() if place[0] >= KEPT_FROM}
        return [
            merkle_tree.inclusion_proof(
                position, self._size, lambda level, index: nodes[level, index]
            )
            for position in positions
        ]


def _nodes(wanted: dict[int, set[int]]) -> dict[tuple[int, int], bytes]:
    """Stored nodes by level and index; one statement a level and PAGE of them."""
    nodes = {}
    for level, indexes in wanted.items():
        ordered = sorted(indexes)
        for start in range(0, len(ordered), PAGE):
            stored = TreeNode.objects.filter(level=level, index__in=ordered[start : start + PAGE])
            for index, held in stored.values_list("index", "hash"):
                nodes[level, index] = bytes.fromhex(held)
    return nodes


def _faults(
    position: int, event: Event, data: bytes, path: Sequence[bytes], root: bytes, size: int
) -> Iterator[EntryFault]:
    hashed = merkle_tree.leaf_hash(data)
    try:
        merkle_tree.verify_inclusion(position, size, hashed, path, root)
    except merkle_tree.ProofError:
        yield EntryFault(event.stream_id, position, event.version, Fault.NOT_AS_SEALED)
        return
    if hashed.hex() != event.leaf:
        yield EntryFault(event.stream_id, position, event.version, Fault.HASH_CHANGED)
