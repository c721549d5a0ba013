"""Photos: stored once, by digest, and nothing left of a refused one."""

import hashlib
from typing import Any

import pytest
from django.conf import settings

from prep.actions.perform import perform
from prep.actions.submission import Submission
from prep.models import Photo
from prep.record.unit.commands.photos import AttachPhoto
from tests.cast import Yard
from tests.refusals import refused

PNG = b"\x89PNG\r\n\x1a\n" + b"invented picture"
FINISH = AttachPhoto(step="pitch", line="finish")


@pytest.fixture(autouse=True)
def _own_folder(settings: object, tmp_path: object) -> None:
    """Files of a test stay in the test's folder."""
    settings.MEDIA_ROOT = tmp_path  # type: ignore[attr-defined]


def files() -> list[str]:
    """Names of the stored pictures."""
    return sorted(path.name for path in settings.MEDIA_ROOT.rglob("*") if path.is_file())


def test_a_photo_is_kept_once_however_often_it_is_sent(yard: Yard) -> None:
    """The log holds its digest, the storage one file."""
    unit, same = yard.started(), Submission()
    send: dict[str, Any] = {
        "actor": yard.ada,
        "target": unit,
        "submission": same,
        "attachment": PNG,
    }
    assert not perform(FINISH, **send).repeated
    assert perform(FINISH, **send).repeated
    photo = Photo.objects.get()
    assert photo.digest == hashlib.sha256(PNG).hexdigest()
    assert files() == [f"{photo.pk}.png"]


def test_a_refused_photo_leaves_no_file(yard: Yard) -> None:
    """Before the cautions are read, when it is no picture at all, and when there is none."""
    unit = yard.started()
    ada: dict[str, Any] = {"actor": yard.ada, "target": unit}
    blocked = AttachPhoto(step="block", line="blocked")
    refused("caution-first", perform, blocked, attachment=PNG, **ada)
    refused("not-a-photo", perform, FINISH, attachment=b"<svg onload=alert(1)>", **ada)
    refused("photo-missing", perform, FINISH, **ada)
    assert files() == []
