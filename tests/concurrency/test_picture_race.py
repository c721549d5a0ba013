"""Two send the same picture at once, one of them in vain: the file stays, on PostgreSQL.

The one whose command was refused has looked who holds the file and is about to delete it, when the
other states an intent. With the lock the other waits; the negative control shows what would happen.
"""

from collections.abc import Collection
from contextlib import suppress
from pathlib import Path
from threading import BrokenBarrierError
from typing import Any
from unittest.mock import patch
from uuid import UUID

import pytest
from django.core.files.storage import default_storage

from prep.actions.beside_the_log import picture_files
from prep.actions.beside_the_log.pictures import PHOTO
from prep.actions.locks import lock_sets
from prep.actions.perform import perform
from prep.models import Photo
from prep.record.refusal import Refusal
from prep.record.unit.commands.photos import AttachPhoto
from tests.cast import Yard, make_yard
from tests.concurrency.processes import FORK, in_processes
from tests.stored_files import picture

pytestmark = [pytest.mark.postgres, pytest.mark.django_db(transaction=True)]

FINE = AttachPhoto(step="pitch", line="finish")
IN_VAIN = AttachPhoto(step="block", line="blocked")
MODULE = "prep.actions.beside_the_log.picture_files"


@pytest.fixture
def committed_yard(settings: Any, tmp_path: Path) -> Yard:
    """The cast, committed, so that other processes see it."""
    settings.KEYS, settings.MEDIA_ROOT = tmp_path, tmp_path / "files"
    return make_yard()


def both(yard: Yard, unit: UUID, *, unlocked: bool = False) -> list[Any]:
    """What becomes of the refused photo and of the good one."""
    looked, met = FORK.Event(), FORK.Barrier(2)
    held, write = picture_files.held, picture_files._write

    def meet() -> None:
        with suppress(BrokenBarrierError):
            met.wait(20 if unlocked else 0.7)

    def look_then_meet(names: Collection[str]) -> set[str]:
        found = held(names)
        looked.set()
        meet()
        return found

    def write_then_meet(*args: Any) -> None:
        write(*args)
        meet()

    def give(command: AttachPhoto) -> str:
        given: dict[str, Any] = {"actor": yard.ada, "target": unit, "attachment": picture()}
        try:
            perform(command, **given)
        except Refusal as no:
            return no.code
        return "done"

    def refused_one() -> str:
        with patch(f"{MODULE}.held", look_then_meet), without_lock(unlocked):
            return give(IN_VAIN)

    def good_one() -> str:
        looked.wait(20)
        with patch(f"{MODULE}._write", write_then_meet), without_lock(unlocked):
            return give(FINE)

    return in_processes(refused_one, good_one)


def without_lock(unlocked: bool) -> Any:
    """A context in which nobody locks the files, if so."""
    return patch(f"{MODULE}.lock_sets", (lambda *_: None) if unlocked else lock_sets)


def is_there() -> bool:
    """Whether the file of the photo on record is in the storage."""
    return default_storage.exists(PHOTO.file(Photo.objects.get().digest))


def test_a_refused_photo_takes_no_file_from_one_that_is_kept(committed_yard: Yard) -> None:
    """Whoever states an intent waits until the other has deleted, and writes the file again."""
    assert both(committed_yard, committed_yard.started()) == ["caution-first", "done"]
    assert is_there()


def test_without_the_lock_it_would(committed_yard: Yard) -> None:
    """Negative control: a photo on record without its file."""
    unit = committed_yard.started()
    assert both(committed_yard, unit, unlocked=True) == ["caution-first", "done"]
    assert not is_there()
