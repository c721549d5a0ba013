"""Photos: stored once, by digest, and nothing left of a refused one."""

import hashlib
from typing import Any

import pytest
from django.conf import settings

from prep.actions.unit import entries
from prep.actions.write_path import Command
from prep.models import Photo
from tests.cast import Yard
from tests.refusals import refused

PNG = b"\x89PNG\r\n\x1a\n" + b"invented picture"


@pytest.fixture(autouse=True)
def _own_folder(settings: object, tmp_path: object) -> None:
    """Files of a test stay in the test's folder."""
    settings.MEDIA_ROOT = tmp_path  # type: ignore[attr-defined]


def files() -> list[str]:
    """Names of the stored pictures."""
    return sorted(path.name for path in settings.MEDIA_ROOT.rglob("*") if path.is_file())


def test_a_photo_is_kept_once_however_often_it_is_sent(yard: Yard) -> None:
    """The log holds its digest, the storage one file."""
    unit, same = yard.started(), Command()
    send: dict[str, Any] = {
        "actor": yard.ada,
        "unit": unit,
        "step": "pitch",
        "line": "finish",
        "content": PNG,
    }
    entries.attach_photo(command=same, **send)
    assert entries.attach_photo(command=same, **send).repeated
    photo = Photo.objects.get()
    assert photo.digest == hashlib.sha256(PNG).hexdigest()
    assert files() == [f"{photo.pk}.png"]


def test_a_refused_photo_leaves_no_file(yard: Yard) -> None:
    """Before the cautions are read, and when it is no picture at all."""
    unit = yard.started()
    send: dict[str, Any] = {"actor": yard.ada, "command": Command(), "unit": unit}
    refused(
        "caution-first",
        entries.attach_photo,
        step="block",
        line="blocked",
        content=PNG,
        **send,
    )
    refused(
        "not-a-photo",
        entries.attach_photo,
        step="pitch",
        line="finish",
        content=b"<svg onload=alert(1)>",
        **send,
    )
    assert files() == []
