"""Whoever stores a picture is killed before every single line of it, one run a line.

Whatever the line: afterwards the photo is on record with its files, or nothing of it is left once
the sweep was there; and sent again, it is kept once.
"""

import os
import signal
import sys
import traceback
from pathlib import Path
from types import FrameType
from typing import Any
from uuid import UUID

import pytest
from django.conf import settings
from django.db import connections
from django.utils import timezone

from prep.actions.beside_the_log import picture_files
from prep.actions.beside_the_log.pictures import PHOTO
from prep.actions.facts import loaders
from prep.actions.perform import perform
from prep.actions.submission import Submission
from prep.models import Event, PendingFile, Photo
from prep.record.unit.commands.photos import AttachPhoto
from prep.verify.run import findings
from tests.cast import Yard, make_yard
from tests.concurrency.processes import own_connections
from tests.invented_pictures import encoded, red_above_blue

pytestmark = pytest.mark.django_db(transaction=True)

WATCHED = {picture_files.__file__, loaders.__file__}
FINISH = AttachPhoto(step="pitch", line="finish")


@pytest.fixture
def committed_yard(settings: Any, tmp_path: Path) -> Yard:
    """The cast, committed, so that other processes see it."""
    settings.KEYS, settings.MEDIA_ROOT = tmp_path, tmp_path / "files"
    return make_yard()


def picture(line: int) -> bytes:
    """Another picture for each line, with a small copy of its own."""
    return encoded(red_above_blue(400, 300 + line), "PNG")


def killed_before(line: int, send: dict[str, Any]) -> bool:
    """Attach a photo in a process that dies before a line of storing it; False where it did not."""
    connections.close_all()
    child = os.fork()
    if child:
        return os.waitpid(child, 0)[1] == signal.SIGKILL
    now = -1

    def trace(frame: FrameType, event: str, _: Any) -> Any:
        nonlocal now
        if frame.f_code.co_filename not in WATCHED:
            return None
        now += event == "line"
        if now == line:
            os.kill(os.getpid(), signal.SIGKILL)
        return trace

    status = 1
    try:
        own_connections()
        sys.settrace(trace)
        perform(FINISH, **send)
        sys.settrace(None)
        status = 0
    except BaseException:
        traceback.print_exc()
    finally:
        os._exit(status)


def files() -> set[str]:
    """Names of everything in the storage."""
    root = Path(settings.MEDIA_ROOT)
    return {str(path.relative_to(root)) for path in root.rglob("*") if path.is_file()}


def held() -> set[str]:
    """Names of the files that photos hold."""
    digests = Photo.objects.values_list("digest", "small")
    return {PHOTO.file(digest) for pair in digests for digest in pair}


def test_killed_before_any_line_no_file_is_left_without_its_row(committed_yard: Yard) -> None:
    """The lines are counted as they come, so that new ones are covered by themselves."""
    unit: UUID = committed_yard.started()
    before, after, waiting = 0, 0, 0
    line = 0
    while killed_before(line, sent := of(committed_yard, unit, line)):
        known = Event.objects.filter(command=sent["submission"].id).exists()
        before, after = before + (not known), after + known
        assert held() <= files(), f"killed before line {line}"
        waiting += PendingFile.objects.exists()
        PendingFile.objects.update(stated=timezone.now() - 2 * picture_files.FORGOTTEN)
        picture_files.drop_forgotten()
        assert files() == held(), f"killed before line {line}"
        assert perform(FINISH, **sent).repeated is known
        line += 1
    assert before > 60, "the trace no longer sees the lines"
    assert waiting > 40
    assert after > 0
    assert Photo.objects.count() == line + 1
    assert files() == held()
    assert list(findings()) == []


def of(yard: Yard, unit: UUID, line: int) -> dict[str, Any]:
    """Ada's photo of the paint."""
    content = picture(line)
    submission = Submission(UUID(int=line + 1))
    return {"actor": yard.ada, "target": unit, "submission": submission, "attachment": content}
