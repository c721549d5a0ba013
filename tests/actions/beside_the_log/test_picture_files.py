"""Photos: stored once, by digest, and nothing left of a refused one."""

import hashlib
from datetime import timedelta
from pathlib import Path
from typing import Any
from uuid import uuid4

import pytest
from django.conf import settings
from django.utils import timezone

from prep.actions.beside_the_log import picture_files
from prep.actions.beside_the_log.picture_files import (
    IntentLostError,
    drop_forgotten,
    stored_picture,
)
from prep.actions.beside_the_log.pictures import PHOTO, read_picture
from prep.actions.perform import perform
from prep.actions.submission import Submission
from prep.models import PendingFile, Photo
from prep.queries.records import record_of
from prep.record.unit.commands.photos import AttachPhoto
from prep.verify.run import findings
from tests.cast import Yard
from tests.invented_pictures import encoded, red_above_blue
from tests.refusals import refused
from tests.stored_files import picture

SENT = encoded(red_above_blue(400, 600), "PNG")
FINISH = AttachPhoto(step="pitch", line="finish")


@pytest.fixture(autouse=True)
def _own_folder(settings: object, tmp_path: object) -> None:
    """Files of a test stay in the test's folder."""
    settings.MEDIA_ROOT = tmp_path  # type: ignore[attr-defined]


def files() -> list[str]:
    """Names of everything in the storage."""
    root = Path(settings.MEDIA_ROOT)
    return sorted(str(path.relative_to(root)) for path in root.rglob("*") if path.is_file())


def files_of(photo: Photo) -> list[str]:
    """Names of the files of a photo."""
    return sorted({PHOTO.file(photo.digest), PHOTO.file(photo.small)})


def test_a_photo_is_kept_once_however_often_it_is_sent(yard: Yard) -> None:
    """The log holds the digests of what was sent, of what is kept and of its small copy."""
    unit, same = yard.started(), Submission()
    send: dict[str, Any] = {
        "actor": yard.ada,
        "target": unit,
        "submission": same,
        "attachment": SENT,
    }
    assert not perform(FINISH, **send).repeated
    assert perform(FINISH, **send).repeated
    photo = Photo.objects.get()
    assert files() == files_of(photo)
    assert len(files()) == 2
    for name in files():
        content = (Path(settings.MEDIA_ROOT) / name).read_bytes()
        assert hashlib.sha256(content).hexdigest() == Path(name).stem
    (event, _) = record_of(unit).photos[0]
    assert event.sent == hashlib.sha256(SENT).hexdigest()
    assert (event.digest, event.small) == (photo.digest, photo.small)
    assert event.name == Path(PHOTO.file(photo.digest)).name
    assert not PendingFile.objects.exists()


def test_the_same_picture_of_two_units_is_one_file(yard: Yard) -> None:
    """Each has its photo; a third that is refused takes nothing away."""
    for unit in (yard.started(), yard.started()):
        perform(FINISH, actor=yard.ada, target=unit, attachment=SENT)
    first, second = Photo.objects.all()
    assert files_of(first) == files_of(second) == files()
    blocked = AttachPhoto(step="block", line="blocked")
    refused("caution-first", perform, blocked, actor=yard.ada, target=unit, attachment=SENT)
    assert files() == files_of(first)
    assert list(findings()) == []


def test_a_refused_photo_leaves_no_file(yard: Yard) -> None:
    """Before the cautions are read, when it is no picture at all, and when there is none."""
    unit = yard.started()
    ada: dict[str, Any] = {"actor": yard.ada, "target": unit}
    blocked = AttachPhoto(step="block", line="blocked")
    refused("caution-first", perform, blocked, attachment=SENT, **ada)
    refused("not-a-photo", perform, FINISH, attachment=b"<svg onload=alert(1)>", **ada)
    refused("photo-missing", perform, FINISH, **ada)
    assert files() == []
    assert not PendingFile.objects.exists()


def test_a_picture_is_not_even_decoded_for_who_may_not_send_it(
    yard: Yard, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Sales attaches no photo, whatever is in it."""
    unit = yard.started()
    monkeypatch.setattr(picture_files, "read_picture", None)
    refused("not-allowed", perform, FINISH, actor=yard.sol, target=unit, attachment=SENT)


def test_a_file_that_somebody_else_means_to_keep_stays(yard: Yard) -> None:
    """Two send the same picture at once; the first is refused."""
    with stored_picture(SENT, "photo") as mine:
        names = sorted(mine.read.files)
        with stored_picture(SENT, "photo"):
            assert files() == names
        assert files() == names
    assert files() == []


def test_a_forgotten_file_goes_after_an_hour(yard: Yard) -> None:
    """Not before: its command may still be under way."""
    intent = left_behind(SENT)
    drop_forgotten()
    assert len(files()) == 2
    forget(intent)
    drop_forgotten()
    assert files() == []
    assert not PendingFile.objects.exists()


def test_a_forgotten_file_that_a_photo_holds_by_now_stays(yard: Yard) -> None:
    """The same picture was sent again, and kept."""
    intent = left_behind(SENT)
    perform(FINISH, actor=yard.ada, target=yard.started(), attachment=SENT)
    forget(intent)
    drop_forgotten()
    assert files() == files_of(Photo.objects.get())
    assert list(findings()) == []


def test_a_command_that_took_longer_than_that_is_not_carried_out(yard: Yard) -> None:
    """Its file may be gone already: an event without its file would be worse than none."""
    with stored_picture(SENT, "photo") as picture:
        PendingFile.objects.all().delete()
        with pytest.raises(IntentLostError):
            picture.settle()


def test_a_damaged_file_is_put_right_by_the_same_picture(yard: Yard) -> None:
    """Its name says which bytes it has to have."""
    perform(FINISH, actor=yard.ada, target=yard.started(), attachment=picture())
    path = Path(settings.MEDIA_ROOT) / PHOTO.file(Photo.objects.get().digest)
    whole = path.read_bytes()
    path.write_bytes(whole[:-9])
    assert [finding.code for finding in findings()] == ["photo-altered"]
    perform(FINISH, actor=yard.ada, target=yard.started(), attachment=picture())
    assert path.read_bytes() == whole
    assert list(findings()) == []


def left_behind(content: bytes) -> Any:
    """Store a picture as somebody does who is killed before its event is written."""
    read = read_picture(content)
    intent = uuid4()
    picture_files._state(intent, read.files)
    for name, data in read.files.items():
        picture_files._write(intent, name, data)
    return intent


def forget(intent: Any) -> None:
    """Let an hour and a minute go by since an intent was stated."""
    PendingFile.objects.filter(intent=intent).update(stated=timezone.now() - timedelta(minutes=61))
