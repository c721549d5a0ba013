"""Workers are killed at random while they make a queue of documents; nothing is lost or doubled.

Real Celery workers and a real beat, over PostgreSQL and Redis.
"""

import hashlib
import os
import random
import signal
import time
from collections import Counter
from contextlib import suppress
from pathlib import Path
from typing import Final

import pytest
from django.core.files.storage import default_storage

from prep.models import Event, Unsealed
from prep.verify.run import findings
from reports import queue
from reports.models import DocumentRequest, State
from tests.cast import Yard
from tests.concurrency import notes
from tests.concurrency.workers import Service, ask_for, at_work, done, kept_alive, wait_until

pytestmark = [
    pytest.mark.slow,
    pytest.mark.postgres,
    pytest.mark.redis,
    pytest.mark.django_db(transaction=True),
]

DOCUMENTS: Final = 100
CERTIFICATES: Final = 6  # of them: made by their own builder, for releases in the log
KILLS: Final = 200
WHOLE: Final = 25  # one kill in so many hits a whole worker, the others one of its processes
AIMED: Final = 0.75  # so many of the others are aimed at a process that makes a document


def beginnings(data: Path) -> list[str]:
    """The id of a document for every time it was begun."""
    return [line.split()[0] for line in notes.begun(data).read_text().splitlines()]


def making(data: Path) -> set[int]:
    """Processes that make a document just now, dead ones among them."""
    last = {line.split()[1]: line.split()[0] for line in notes.begun(data).read_text().splitlines()}
    unfinished = DocumentRequest.objects.filter(state=State.WORKING).values_list("pk", flat=True)
    wanted = {str(pk) for pk in unfinished}
    return {int(pid) for pid, request in last.items() if request in wanted}


def target(workers: list[Service], chance: random.Random, data: Path) -> int:
    """A process to kill: most times one that makes a document, else any."""
    aimed = chance.random() < AIMED
    while True:
        makers = kept_alive(workers)
        found = [pid for pid in makers if pid in making(data)] if aimed else makers
        if found:
            return chance.choice(found)
        assert done() < DOCUMENTS, "the queue was made before the last kill"
        time.sleep(0.02)


def kill_at_random(workers: list[Service], chance: random.Random, data: Path) -> None:
    """Two hundred kills at random moments, the quicker the more of the queue is made."""
    for kill in range(KILLS):
        ahead = done() / DOCUMENTS > kill / KILLS
        time.sleep(chance.uniform(0.0, 0.1 if ahead else 0.3))
        if kill % WHOLE == WHOLE - 1:
            chance.choice(workers).kill()
        else:
            with suppress(ProcessLookupError):  # its worker ended meanwhile, and it as well
                os.kill(target(workers, chance, data), signal.SIGKILL)


def lost_or_doubled(data: Path) -> list[str]:
    """Everything that is not exactly once there, in words."""
    faults = [str(found) for found in findings()]
    issued = Counter(
        Event.objects.filter(kind="document.issued").values_list("stream_id", flat=True)
    )
    begun = Counter(beginnings(data))
    numbers = Counter(DocumentRequest.objects.values_list("number", flat=True))
    kept = []
    for request in DocumentRequest.objects.all():
        if request.state != State.DONE:
            faults.append(f"{request}: {request.failure}")
            continue
        kept.append(str(request.file))
        with queue.open_file(request) as opened:
            if hashlib.sha256(opened.read()).hexdigest() != request.digest:
                faults.append(f"{request} has another digest than its file")
        if begun[str(request.pk)] > request.tries:
            faults.append(f"{request} was begun {begun[str(request.pk)]} times for {request.tries}")
        if issued[str(request.unit_id)] != 1 or numbers[request.number] != 1:
            faults.append(f"{request} was issued more or less than once")
    root = Path(default_storage.path(""))
    files = {str(path.relative_to(root)) for path in root.rglob("*") if path.is_file()}
    return faults + [f"left over: {name}" for name in sorted(files ^ set(kept))]


def test_two_hundred_kills_lose_and_double_nothing(served_yard: Yard, tmp_path: Path) -> None:
    """A hundred documents are asked for; each is there once, with one file and one event."""
    seed = random.SystemRandom().randrange(10**6)
    print(f"seed {seed}")  # noqa: T201  # pytest shows it where the test fails
    ask_for(served_yard, DOCUMENTS, CERTIFICATES)
    with at_work(tmp_path) as workers:
        wait_until("the first document", lambda: done() > 0, tmp_path)
        kill_at_random(workers, random.Random(seed), tmp_path)
        wait_until("the end", lambda: kept_alive(workers) and done() == DOCUMENTS, tmp_path)
    queue.catch_up()
    assert not Unsealed.objects.exists()
    assert DocumentRequest.objects.filter(kind="certificate").count() == CERTIFICATES
    assert lost_or_doubled(tmp_path) == []
    broken_off = len(beginnings(tmp_path)) - (DOCUMENTS - CERTIFICATES)
    assert broken_off > KILLS / 3, "too few kills hit a document in the making"


def test_without_the_condition_of_the_claim_documents_are_begun_twice(
    served_yard: Yard, tmp_path: Path
) -> None:
    """Negative control: the same check of the same queue sees what the claim prevents."""
    ask_for(served_yard, 20)
    with at_work(tmp_path, **{notes.UNGUARDED: "yes"}):
        wait_until("the whole queue", lambda: done() == 20, tmp_path)
    faults = lost_or_doubled(tmp_path)
    assert any("was begun" in fault for fault in faults)
