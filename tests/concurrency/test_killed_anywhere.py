"""A worker is killed before every single line of its work on a document, one run a line.

Whatever the line: there is one good file, or a row that will be made again and then is.
"""

import os
import signal
import sys
import traceback
from collections import Counter
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path
from types import FrameType
from typing import Any

import pytest
from django.core.files.storage import default_storage
from django.db import connections
from django.utils import timezone

from prep.models import Event
from prep.verify.run import findings
from reports import queue
from reports.models import DocumentRequest, State
from reports.queue import claims, publishing, worker
from reports.registry import KINDS
from tests.cast import Yard, make_yard
from tests.concurrency.processes import own_connections
from tests.document_kinds import built_by, one_line

pytestmark = [pytest.mark.postgres, pytest.mark.django_db(transaction=True)]

WATCHED = {claims.__file__, worker.__file__, publishing.__file__}
Before = Callable[[int], None]


@pytest.fixture
def committed_yard(settings: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Yard:
    """The cast, committed, so that other processes see it."""
    settings.KEYS, settings.MEDIA_ROOT = tmp_path, tmp_path / "files"
    monkeypatch.setitem(KINDS, "labels", built_by("labels", one_line))
    return make_yard()


def run_one(before: Before) -> int:
    """Work on one document in a process of its own; its exit status.

    `before` is told of each line of the watched modules that is about to be run.
    """
    connections.close_all()
    child = os.fork()
    if child:
        return os.waitpid(child, 0)[1]
    lines = 0

    def trace(frame: FrameType, event: str, _: Any) -> Any:
        nonlocal lines
        if frame.f_code.co_filename not in WATCHED:
            return None
        if event == "line":
            before(lines)
            lines += 1
        return trace

    status = 1
    try:
        own_connections()
        sys.settrace(trace)
        worker.run_one()
        sys.settrace(None)
        status = 0
    except BaseException:
        traceback.print_exc()
    finally:
        os._exit(status)


def kill_before(line: int) -> Before:
    """Die before the given line, with no chance to tidy up."""

    def before(now: int) -> None:
        if now == line:
            os.kill(os.getpid(), signal.SIGKILL)

    return before


def one_good_file_or_a_row_to_make(request: DocumentRequest) -> State:
    """What must hold at every moment; the state it holds in."""
    request.refresh_from_db()
    state = State(request.state)
    if state == State.DONE:
        with queue.open_file(request) as opened:
            assert opened.read().decode() == request.cause
    else:
        assert state in worker.UNFINISHED
    return state


def files_of(request: DocumentRequest) -> list[str]:
    """Everything in the storage that belongs to a request, published or not."""
    root = Path(default_storage.path(""))
    return [
        str(path.relative_to(root))
        for path in root.rglob("*")
        if path.is_file() and str(request.pk) in str(path)
    ]


def test_killed_before_any_line_a_document_is_made_once(committed_yard: Yard) -> None:
    """The lines are counted first, so that new ones are covered by themselves."""
    states: Counter[State] = Counter()
    line, status = 0, signal.SIGKILL.value
    while status == signal.SIGKILL:
        unit = committed_yard.receive()  # another each time: more lines look at its earlier ones
        request = queue.request(kind="labels", cause=str(line), unit=unit)
        status = run_one(kill_before(line))
        states[one_good_file_or_a_row_to_make(request)] += 1
        DocumentRequest.objects.filter(state=State.WORKING).update(
            lease_until=timezone.now() - timedelta(seconds=1)
        )
        queue.run_due()
        assert one_good_file_or_a_row_to_make(request) == State.DONE
        assert files_of(request) == [str(request.file)], f"killed before line {line}"
        line += 1
    assert status == 0
    assert set(states) == {State.WAITING, State.WORKING, State.DONE}
    assert line > 60, "the trace no longer sees the worker's lines"
    issued = Event.objects.filter(kind="document.issued").count()
    assert issued == DocumentRequest.objects.count() == line
    queue.catch_up()
    assert list(findings()) == []
