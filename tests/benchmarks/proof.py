"""What proof costs: sealing, verifying and proving against the least that could do.

Sealing against a bare SHA-256 loop over the same bytes; verifying against decoding the same
events' JSON; the length of proofs against the logarithm of the log. Runs in a database of its own.
"""

import hashlib
import json
import os
import tempfile
from collections.abc import Callable
from datetime import UTC, datetime
from functools import partial
from math import log2
from pathlib import Path
from time import process_time
from typing import Any

EVENTS = 20_000


def main() -> None:
    """Print the figures."""
    folder = Path(tempfile.mkdtemp())
    os.environ |= {"YARDPROOF_DATA": str(folder), "DJANGO_SETTINGS_MODULE": "prep.project.settings"}
    import django

    django.setup()
    from django.core.management import call_command

    call_command("migrate", verbosity=0)
    entries = filled(EVENTS)
    print(f"{EVENTS:,} events of {sum(map(len, entries)) // EVENTS} bytes, in SQLite on disk")
    sealing_figures(entries)
    verifying_figures(entries)
    proof_figures()


def filled(count: int) -> list[bytes]:
    """A log of so many events that wait for their seal; returns what is hashed of each."""
    from prep.models import Event, Unsealed
    from prep.record.log.envelope import leaf_data
    from tests.benchmarks.fold import bodies

    texts, _ = bodies()
    rows = [event(number, texts[number % len(texts)].decode()) for number in range(count)]
    Event.objects.bulk_create(rows, batch_size=500)
    waiting = [Unsealed(event_id=pk) for pk in Event.objects.values_list("pk", flat=True)]
    Unsealed.objects.bulk_create(waiting, batch_size=500)
    return [leaf_data(row.envelope()) for row in rows]


def event(number: int, body: str) -> Any:
    """An event as the write path stores it."""
    from uuid import UUID

    from prep.models import Event
    from prep.record.log.envelope import leaf

    moment = datetime(2026, 3, 2, 14, 5, tzinfo=UTC)
    row = Event(
        stream="unit",
        stream_id=f"{number // 300:08d}",
        version=number % 300 + 1,
        kind=json.loads(body)["kind"],
        schema=1,
        body=body,
        actor="1",
        actor_name="Ada Invented",
        site="north",
        device="tablet",
        happened=moment,
        recorded=moment,
        command=UUID(int=number + 1),
        part=0,
        request="0" * 64,
        facts="{}",
    )
    row.leaf = leaf(row.envelope()).hex()
    return row


def timed(work: Callable[[], object]) -> float:
    """Seconds of one run, of this process alone: other work on the machine does not count."""
    start = process_time()
    work()
    return process_time() - start


def figure(what: str, seconds: float, base: float) -> None:
    """One line: events a second, and how many times the base."""
    print(f"{what:<58} {EVENTS / seconds:>12,.0f} /s   {seconds / base:>7.1f} ×")


def sealing_figures(entries: list[bytes]) -> None:
    """Sealing the whole log, and its pieces, against hashing each entry once."""
    from prep.actions import sealing
    from prep.record.log import merkle_tree

    bare = min(timed(lambda: [hashlib.sha256(e).digest() for e in entries]) for _ in range(5))
    leaves = [merkle_tree.leaf_hash(entry) for entry in entries]
    in_memory = min(timed(lambda: merkle_tree.root_of(leaves)) for _ in range(3))
    print("\nsealing")
    figure("SHA-256 of each entry and nothing else", bare, bare)
    figure("the tree over them in memory", in_memory, bare)
    figure("sealed: placed, every node stored, signed", timed(sealing.seal), bare)


def verifying_figures(entries: list[bytes]) -> None:
    """The log's part of a verification, against decoding the same JSON."""
    from prep.models import Event
    from prep.verify.checkpoints import checkpoints
    from prep.verify.log import events, nodes, order

    bodies = list(Event.objects.values_list("body", flat=True))
    decode = min(timed(lambda: [json.loads(body) for body in bodies]) for _ in range(5))
    read = min(timed(lambda: list(Event.objects.all())) for _ in range(3))
    print("\nverifying")
    figure("the JSON of each event decoded and nothing else", decode, decode)
    figure("each event read from the database", read, decode)
    whole = 0.0
    for check in (events, order, nodes, checkpoints):
        seconds = timed(partial(assert_nothing, check))
        whole += seconds
        figure(f"checked: {check.__name__}", seconds, decode)
    figure("the log verified", whole, decode)


def assert_nothing(check: Any) -> None:
    """A check over a whole log finds nothing; a benchmark of one that fails would say nothing."""
    found = list(check(lambda part, done, total: None))
    assert not found, found[:3]


def proof_figures() -> None:
    """Hashes in the longest proofs, and the time of one, in logs of growing size."""
    from prep.queries import log

    print("\nproofs: entries, hashes of the longest, log2, milliseconds of an inclusion proof")
    size = log.size()
    for entries in (10, 100, 1_000, 10_000, size):
        places = range(0, entries, max(1, entries // 50))
        longest = max(len(log.inclusion_proof(place, entries)) for place in places)
        longest = max(longest, *(len(log.consistency_proof(p + 1, entries)) for p in places))
        took = timed(partial(proven, places, entries)) / len(places)
        print(f"{entries:>8,} {longest:>4} {log2(entries):>6.1f} {took * 1000:>8.2f}")
        assert longest <= log2(entries) + 2


def proven(places: range, size: int) -> None:
    """An inclusion proof of each place."""
    from prep.queries import log

    for place in places:
        log.inclusion_proof(place, size)


if __name__ == "__main__":
    main()
