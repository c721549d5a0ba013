"""Verification of the log: events, their order, and the Merkle tree over them.

Every sealed hash is compared with its event, every inner node with the two below it, and every
checkpoint with the nodes under it. Together this recomputes the whole tree, and a change is named
at the place where it was made. Rows are read in pages: memory does not grow with the log.
"""

import json
from collections.abc import Iterable, Iterator
from typing import Any, Final

from django.db import models
from django.db.models import F, Q, Window
from django.db.models.functions import Lag

from prep.models import Event, Leaf, TreeNode, Unsealed
from prep.queries import log
from prep.record.log import canonical_json, merkle_tree
from prep.record.log.envelope import leaf
from prep.verify.findings import Finding, Tell
from prep.verify.names import event_named, stream_name

PAGE: Final = 500


def pages(rows: models.QuerySet[Any], key: str) -> Iterator[list[Any]]:
    """Values of a unique column in order, in pages of PAGE.

    Each page is a query of its own, so no transaction stays open for the whole table.
    """
    after: Any = None
    while True:
        rest = rows.order_by(key) if after is None else rows.order_by(key).filter(**after)
        page = list(rest.values_list(key, flat=True)[:PAGE])
        if not page:
            return
        yield page
        after = {f"{key}__gt": page[-1]}


def readable(rows: models.QuerySet[Any], keys: Iterable[Any]) -> dict[Any, Any]:
    """Rows by primary key; a row that cannot be read is left out and does not stop the rest."""
    wanted = list(keys)
    try:
        return dict(rows.in_bulk(wanted))
    except Exception:
        if len(wanted) == 1:
            return {}
        middle = len(wanted) // 2
        return readable(rows, wanted[:middle]) | readable(rows, wanted[middle:])


def events(tell: Tell) -> Iterator[Finding]:
    """Check every event against its sealed hash, and that positions have no gaps."""
    size, expected = log.size(), 0
    for page in pages(Leaf.objects.filter(position__lt=size), "position"):
        leaves = dict(Leaf.objects.filter(position__in=page).values_list("position", "event_id"))
        stored = readable(Event.objects.all(), leaves.values())
        sealed = _stored(0, page[0], page[-1] + 1)
        for position in page:
            if position != expected:
                yield _gap(expected, position)
            expected = position + 1
            event = stored.get(leaves[position])
            yield from _sealed_event(position, leaves[position], event, sealed.get(position))
        tell("events", expected, size)
    yield from _waiting_events(tell)


def _gap(start: int, stop: int) -> Finding:
    last = stop - 1
    if last == start:
        return Finding("position", str(start), "position-empty", {"position": start})
    return Finding("position", f"{start}-{last}", "positions-empty", {"first": start, "last": last})


def _sealed_event(
    position: int, pk: int, event: Event | None, sealed: str | None
) -> Iterator[Finding]:
    if event is None:
        yield Finding("event", str(pk), "event-missing", {"position": position, "id": pk})
        return
    if sealed is None:
        yield Finding("tree", f"0/{position}", "hash-missing", {"position": position})
        return
    if recomputed(event) != sealed:
        values = {**event_named(event), "position": position}
        yield Finding("event", str(pk), "event-altered", values)
    elif event.leaf != sealed:
        yield Finding("event", str(pk), "hash-altered", event_named(event))


def _waiting_events(tell: Tell) -> Iterator[Finding]:
    waiting = Event.objects.filter(sealed__isnull=True)
    total, done = waiting.count(), 0
    for page in pages(waiting, "id"):
        stored = readable(Event.objects.all(), page)
        for pk in page:
            event = stored.get(pk)
            if event is None:
                yield Finding("event", str(pk), "waiting-unreadable", {"id": pk})
            elif recomputed(event) != event.leaf:
                yield Finding("event", str(pk), "waiting-altered", event_named(event))
        done += len(page)
        tell("waiting-events", done, total)


def recomputed(event: Event) -> str | None:
    """Leaf hash from the row's columns, in hex; None where they do not form an event."""
    try:
        if canonical_json.encode(json.loads(event.body)) != event.body.encode():
            return None  # not canonical, so written by something other than this service
        return leaf(event.envelope()).hex()
    except Exception:  # an altered row can fail anywhere
        return None


def order(tell: Tell) -> Iterator[Finding]:
    """Check that streams have no gaps and are in order in the log, each event in it once."""
    yield from _misplaced_versions()
    yield from _unplaced_events()
    streams = Event.objects.values("stream", "stream_id").distinct().count()
    tell("streams", streams, streams)


def _misplaced_versions() -> Iterator[Finding]:
    """Versions that miss the one before, or that are sealed before it."""
    stream = [F("stream"), F("stream_id")]
    steps = Event.objects.annotate(
        place=F("sealed__position"),
        version_before=Window(Lag("version"), partition_by=stream, order_by="version"),
        place_before=Window(Lag("sealed__position"), partition_by=stream, order_by="version"),
    )
    first = Q(version_before__isnull=True)
    gaps = steps.filter((first & ~Q(version=1)) | Q(version__gt=F("version_before") + 1))
    named = ("pk", "stream", "stream_id", "version")
    for pk, sort, which, version in gaps.values_list(*named).iterator(PAGE):
        values = _in_stream(version, sort, which)
        yield Finding("stream", str(pk), "version-missing", values)
    late = Q(place__lt=F("place_before")) | Q(place_before__isnull=True, place__isnull=False)
    moved = steps.filter(late & ~first)
    for pk, sort, which, version in moved.values_list(*named).iterator(PAGE):
        values = _in_stream(version, sort, which)
        yield Finding("stream", str(pk), "version-misplaced", values)


def _in_stream(version: int, stream: str, which: str) -> dict[str, Any]:
    owner = stream_name(stream, which)
    return {"version": version, "stream": stream, "owner": owner, "owner_id": which}


def _unplaced_events() -> Iterator[Finding]:
    """Events that are neither sealed nor waiting, or both, and waiting ones that do not exist."""
    lost = Event.objects.filter(sealed__isnull=True, unsealed__isnull=True)
    for pk in lost.values_list("pk", flat=True).iterator(PAGE):
        yield Finding("event", str(pk), "event-unplaced", {"id": pk})
    twice = Unsealed.objects.filter(event__sealed__isnull=False)
    for pk in twice.values_list("pk", flat=True).iterator(PAGE):
        yield Finding("event", str(pk), "event-placed-twice", {"id": pk})
    missing = Unsealed.objects.exclude(pk__in=Event.objects.values("pk"))
    for pk in missing.values_list("pk", flat=True).iterator(PAGE):
        yield Finding("event", str(pk), "waiting-missing", {"id": pk})


def nodes(tell: Tell) -> Iterator[Finding]:
    """Check that every inner node follows from the two below it; none missing, none superfluous."""
    size = log.size()
    levels = range(1, size.bit_length())
    total, done = sum(size >> level for level in levels), 0
    for level in levels:
        for start in range(0, size >> level, PAGE):
            stop = min(start + PAGE, size >> level)
            yield from _level(level, start, stop)
            done += stop - start
            tell("nodes", done, total)
    yield from _superfluous_nodes(size)


def _level(level: int, start: int, stop: int) -> Iterator[Finding]:
    held = _stored(level, start, stop)
    below = _stored(level - 1, 2 * start, 2 * stop)
    for index in range(start, stop):
        which = f"{level}/{index}"
        left, right = below.get(2 * index), below.get(2 * index + 1)
        if index not in held:
            yield Finding("tree", which, "node-missing", {"node": which})
        elif left is not None and right is not None and _node_over(left, right) != held[index]:
            yield Finding("tree", which, "node-wrong", {"node": which})


def _stored(level: int, start: int, stop: int) -> dict[int, str]:
    """Stored hashes of one level by index, as text: an altered one may not even be hex."""
    nodes = TreeNode.objects.filter(level=level, index__gte=start, index__lt=stop)
    return dict(nodes.values_list("index", "hash"))


def _node_over(left: str, right: str) -> str:
    try:
        return merkle_tree.node_hash(bytes.fromhex(left), bytes.fromhex(right)).hex()
    except ValueError:
        return ""


def _superfluous_nodes(size: int) -> Iterator[Finding]:
    beyond = Q(level__gte=max(size.bit_length(), 1))
    for level in range(size.bit_length()):
        beyond |= Q(level=level, index__gte=size >> level)
    extra = list(TreeNode.objects.filter(beyond).values_list("level", "index")[:PAGE])
    now = log.size()  # a seal may have added nodes meanwhile, and entries with them
    for level, index in extra:
        if index >= now >> level:
            which = f"{level}/{index}"
            yield Finding("tree", which, "node-extra", {"node": which})
