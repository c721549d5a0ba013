"""Photos over the API: downloaded as they are kept, by who may see the unit."""

import hashlib
from pathlib import Path
from uuid import UUID, uuid4

import pytest
from django.core.files.storage import default_storage

from prep.actions.beside_the_log.pictures import PHOTO
from prep.models import Photo
from tests.api.client import Answer, Api
from tests.cast import Yard
from tests.invented_pictures import encoded, from_a_phone, red_above_blue


def attach(api: Api, unit: UUID, content: bytes) -> Answer:
    """Ada sends a photo of the paint."""
    return api.send(
        "POST",
        f"units/{unit}/photo/attach?step=pitch&line=finish",
        headers={"Idempotency-Key": str(uuid4())},
        content=content,
        content_type="image/jpeg",
    )


def test_a_photo_and_its_small_copy_are_downloaded_as_they_are_kept(api: Api, yard: Yard) -> None:
    """Their digests stand in the event, beside that of what was sent."""
    unit, sent = yard.started(), encoded(red_above_blue(900, 600), "JPEG")
    event = attach(api, unit, sent).body["events"][0]
    assert event["sent"] == hashlib.sha256(sent).hexdigest()
    path = f"units/{unit}/photos/{event['photo']}"
    for address, digest in ((path, event["digest"]), (f"{path}/small", event["small"])):
        answer = api.get(address, yard.rhea, Accept="image/*")
        assert (answer.status, answer.headers["Content-Type"]) == (200, "image/jpeg")
        assert hashlib.sha256(answer.content).hexdigest() == digest
        assert answer.etag == f'"{digest}"'


def test_a_photo_is_shown_to_nobody_else(api: Api, yard: Yard) -> None:
    """Nor as one of another unit."""
    unit = yard.started()
    photo = attach(api, unit, from_a_phone()).body["events"][0]["photo"]
    assert api.get(f"units/{unit}/photos/{photo}", yard.outsider).code == "no-such-unit"
    assert api.get(f"units/{yard.started()}/photos/{photo}").code == "no-such-photo"
    assert api.get(f"units/{unit}/photos/{uuid4()}").code == "no-such-photo"


def test_a_photo_whose_file_is_gone_is_said_to_be(api: Api, yard: Yard) -> None:
    """Verification names it, too."""
    unit = yard.started()
    photo = attach(api, unit, from_a_phone()).body["events"][0]["photo"]
    Path(default_storage.path(PHOTO.file(Photo.objects.get().digest))).unlink()
    answer = api.get(f"units/{unit}/photos/{photo}")
    assert (answer.status, answer.code) == (409, "photo-file-missing")


@pytest.mark.parametrize(
    ("content", "status", "code"),
    [
        (b"\xff\xd8\xff<script>alert(1)</script>", 422, "not-a-photo"),
        (from_a_phone()[:-40], 422, "photo-damaged"),
        (b"", 400, "part-missing"),
        (b"\0" * (12 * 1024 * 1024 + 1), 413, "too-large"),
    ],
)
def test_what_is_no_photo_is_refused_and_nothing_is_kept(
    api: Api, yard: Yard, content: bytes, status: int, code: str
) -> None:
    """With what to do about it."""
    unit = yard.started()
    answer = attach(api, unit, content)
    assert (answer.status, answer.code) == (status, code)
    assert not Photo.objects.exists()
