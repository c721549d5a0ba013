"""The log's entries in a bundle, each with its proof, read page by page in the order of the log."""

import base64
from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import islice
from typing import Final, NamedTuple

from django.db.models import QuerySet

from prep.models import Event, Leaf, TreeNode
from prep.record import canonical, tree
from prep.record.envelope import leaf_data
from reports.bundles.contents import Cut, Payload

PAGE: Final = 500  # entries a page; also the most values one statement asks for
FEW: Final = 500  # so many units are asked for by name; of more, their sites' log is looked through
SCAN: Final = 10_000  # entries a page that are only looked at for whose they are
KEPT_FROM: Final = 10  # levels of the tree whose nodes many pages share


class EntryFault(NamedTuple):
    """What does not hold of an entry of a unit, in plain words."""

    unit: str
    text: str


@dataclass
class Written:
    """How many entries a bundle holds, and what does not hold of them."""

    events: int = 0
    faults: list[EntryFault] = field(default_factory=list)


def count(cut: Cut, sites: Collection[str]) -> int:
    """How many entries the units of some yards have within a cut."""
    return _within(cut).filter(event__site__in=sites).count()


def put_events(
    payload: Payload,
    cut: Cut,
    units: Collection[str],
    *,
    sites: Collection[str] = (),
    tell: Callable[[int], None] = lambda _: None,
) -> Written:
    """Write the units' entries and their inclusion proofs; each proof is checked on the way.

    `sites` are the yards of the units; of few units they are not asked for.

    `tell` is called with the number of entries written, once a page. An entry whose proof fails
    is written all the same: the bundle must show what is there.
    """
    written = Written()
    proofs = Proofs(cut.checkpoint.size)
    root = bytes.fromhex(cut.checkpoint.root)
    with (
        payload.writing("events.jsonl") as events,
        payload.writing("proof/inclusion.jsonl") as places,
    ):
        for page in _pages(cut, units, sites):
            paths = proofs.paths([position for position, _ in page])
            for (position, event), path in zip(page, paths, strict=True):
                data = leaf_data(event.envelope())
                written.faults += _faults(position, event, data, path, root, cut.checkpoint.size)
                events.write(data.decode() + "\n")
                place = {"index": position, "path": [base64.b64encode(h).decode() for h in path]}
                places.write(canonical.encode(place).decode() + "\n")
            written.events += len(page)
            tell(written.events)
    return written


def _pages(
    cut: Cut, units: Collection[str], sites: Collection[str]
) -> Iterator[list[tuple[int, Event]]]:
    """The units' entries within the cut, in sealed order, at most PAGE at a time."""
    leaves = _within(cut).order_by("position")
    if len(units) > FEW:
        of_sites = leaves.filter(event__site__in=sites)
        positions = _found(of_sites, units)
        while page := list(islice(positions, PAGE)):
            found = leaves.filter(position__in=page).select_related("event")
            yield [(leaf.position, leaf.event) for leaf in found]
        return
    leaves = leaves.filter(event__stream_id__in=units).select_related("event")
    read = -1
    while rows := list(leaves.filter(position__gt=read)[:PAGE]):
        read = rows[-1].position
        yield [(leaf.position, leaf.event) for leaf in rows]


def _found(leaves: QuerySet[Leaf], units: Collection[str]) -> Iterator[int]:
    """Positions of the units' entries, by looking whose each entry is and at nothing more."""
    owners = leaves.values_list("position", "event__stream_id")
    read = -1
    while page := list(owners.filter(position__gt=read)[:SCAN]):
        read = page[-1][0]
        yield from (position for position, unit in page if unit in units)


def _within(cut: Cut) -> QuerySet[Leaf]:
    leaves = Leaf.objects.filter(event__stream="unit", position__lt=cut.checkpoint.size)
    return leaves if cut.until is None else leaves.filter(event__recorded__lte=cut.until)


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
            return bytes(tree.HASH_BYTES)

        for position in positions:
            tree.inclusion_proof(position, self._size, ask)
        found = {**self._kept, **_nodes(wanted)}
        self._kept = {place: held for place, held in found.items() if place[0] >= KEPT_FROM}
        return [
            tree.inclusion_proof(position, self._size, lambda level, index: found[level, index])
            for position in positions
        ]


def _nodes(wanted: dict[int, set[int]]) -> dict[tuple[int, int], bytes]:
    """Stored nodes by level and index; one statement a level and PAGE of them."""
    found = {}
    for level, indexes in wanted.items():
        ordered = sorted(indexes)
        for start in range(0, len(ordered), PAGE):
            stored = TreeNode.objects.filter(level=level, index__in=ordered[start : start + PAGE])
            for index, held in stored.values_list("index", "hash"):
                found[level, index] = bytes.fromhex(held)
    return found


def _faults(
    position: int, event: Event, data: bytes, path: Sequence[bytes], root: bytes, size: int
) -> Iterator[EntryFault]:
    hashed = tree.leaf_hash(data)
    what = f"Entry {position} ({event.kind}, version {event.version} of unit {event.stream_id})"
    try:
        tree.verify_inclusion(position, size, hashed, path, root)
    except tree.ProofError:
        yield EntryFault(event.stream_id, f"{what} is not what was sealed there.")
        return
    if hashed.hex() != event.leaf:
        yield EntryFault(event.stream_id, f"{what}: its stored leaf hash was changed.")
