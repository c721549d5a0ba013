"""What no endpoint should have to read is refused before anything is parsed, in words."""

import gzip
import logging
from io import BytesIO
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client
from django.test.client import MULTIPART_CONTENT

from prep.models import Event
from tests.api.client import Api
from tests.cast import Yard
from tests.pages.visitor import Enter, signed_in

pytestmark = pytest.mark.django_db
JSON = "application/json"


@pytest.fixture
def enter(settings: Any) -> Enter:
    """Open the pages as somebody."""
    return signed_in


@pytest.fixture
def api(yard: Yard) -> Api:
    """The API."""
    return Api(yard)


def test_a_compressed_body_is_refused_by_the_api(api: Api) -> None:
    """Nobody knows before what it unpacks to."""
    headers = {"Content-Encoding": "gzip", "Idempotency-Key": "x"}
    body = gzip.compress(b"{}" + b" " * 10_000_000)
    answer = api.send("POST", "units/receive", headers=headers, content=body)
    assert (answer.status, answer.code) == (400, "body-encoded")
    assert answer.body["detail"] == (
        "The body is compressed or encoded. Send it as it is, without Content-Encoding."
    )


@pytest.mark.parametrize(
    ("path", "most"),
    [
        ("units/receive", 1024),
        ("commands", 8 * 1024),
        ("units/0b6cf7f4-51cf-4a6e-9d0a-9a3a5a3f9c11/plate/attach", 12 * 1024),
        ("imports", 8 * 1024),
    ],
)
def test_each_endpoint_says_how_much_it_takes(api: Api, path: str, most: int) -> None:
    """By the length that is told, before a byte of it is read."""
    said: Any = {"CONTENT_LENGTH": str(most * 1024 + 64 * 1024 + 1)}
    answer = api.client.post(f"/api/v1/{path}", b"{}", content_type=JSON, **said)
    assert (answer.status_code, answer["Content-Type"]) == (413, "application/problem+json")
    assert answer.json()["detail"] == f"This is too large. Send at most {most} kB."


@pytest.mark.parametrize("length", ["1e9", "-1", "٣", "9" * 4301, "0x10"])
def test_a_length_that_is_none_is_refused(api: Api, length: str) -> None:
    """And is not taken for nothing."""
    said: Any = {"CONTENT_LENGTH": length}
    answer = api.client.post("/api/v1/units/receive", b"{}", content_type=JSON, **said)
    assert answer.status_code == 413


def test_a_form_that_is_too_large_is_refused_by_a_page(yard: Yard, enter: Enter) -> None:
    """The page says how much it takes, and nothing is recorded."""
    client, before = enter(yard.ada), Event.objects.count()
    answer = client.post("/receive", {"note": "x" * (3 * 1024 * 1024 + 64 * 1024)})
    assert answer.status_code == 413
    assert "This is too large. Send at most 3072 kB." in answer.content.decode()
    assert Event.objects.count() == before


def test_a_form_of_too_many_fields_is_refused_by_a_page(yard: Yard, enter: Enter) -> None:
    """In words, and not with the framework's own page."""
    client = enter(yard.ada)
    answer = client.post("/receive", {f"n{number}": "x" for number in range(1001)})
    assert answer.status_code == 400
    assert "What was sent cannot be read." in answer.content.decode()


@pytest.mark.parametrize("path", ["/?q=a%00b", "/lists/units/?a%00=1", "/rules/a%00b/"])
def test_a_nul_in_an_address_is_refused_by_a_page(yard: Yard, enter: Enter, path: str) -> None:
    """PostgreSQL cannot store one."""
    answer = enter(yard.ada).get(path)
    assert answer.status_code == 400
    assert "has a NUL character in it" in answer.content.decode()


def test_a_nul_in_a_form_is_refused_by_a_page(yard: Yard, enter: Enter) -> None:
    """Whatever the field."""
    answer = enter(yard.ada).post("/receive", {"serial": "a\0b"})
    assert answer.status_code == 400


def test_a_nul_in_an_address_is_refused_by_the_api(api: Api) -> None:
    """As a problem document."""
    answer = api.get("models/a%00b")
    assert (answer.status, answer.code) == (400, "parameter-unfit")


def test_who_did_not_sign_in_gets_the_same(client: Client) -> None:
    """A bound is looked at before anybody."""
    assert client.get("/?q=%00").status_code == 400


class HungUp:
    """The body of a client that hangs up in the middle of it."""

    def read(self, size: int = -1) -> bytes:
        """The server notices when it reads."""
        raise ConnectionResetError("the client hung up")

    readline = read


class Short(HungUp):
    """The same where the server notices nothing: what came ends too early."""

    def __init__(self, content: bytes) -> None:
        self.content = BytesIO(content)

    def read(self, size: int = -1) -> bytes:
        """What there is."""
        return self.content.read(size)

    readline = read


@pytest.mark.parametrize("path", ["units/receive", "commands", "verify", "sign-in"])
def test_a_client_of_the_api_that_hangs_up_is_no_error_of_ours(
    api: Api, caplog: pytest.LogCaptureFixture, path: str
) -> None:
    """It is told to send again, should it still listen, and nobody is woken."""
    before = Event.objects.count()
    sent: Any = {"wsgi.input": HungUp(), "CONTENT_LENGTH": "64"}
    sent |= {"HTTP_AUTHORIZATION": f"Token {api.token(api.yard.ada)}"}
    sent |= {"HTTP_IDEMPOTENCY_KEY": str(uuid4())}
    answer = api.client.post(f"/api/v1/{path}", b"{}", content_type=JSON, **sent)
    assert answer.status_code == 400
    assert answer.json()["type"] == "urn:yardproof:problem:body-cut-off"
    assert [one for one in caplog.records if one.levelno >= logging.ERROR] == []
    assert Event.objects.count() == before


@pytest.mark.parametrize("path", ["/receive", "/sign-in", "/verify"])
@pytest.mark.parametrize("kind", ["application/x-www-form-urlencoded", MULTIPART_CONTENT])
def test_a_browser_that_hangs_up_is_no_error_of_ours(
    yard: Yard, enter: Enter, caplog: pytest.LogCaptureFixture, path: str, kind: str
) -> None:
    """Whatever the form holds."""
    client, before = enter(yard.ada), Event.objects.count()
    sent: Any = {"wsgi.input": HungUp(), "CONTENT_LENGTH": "64"}
    answer = client.generic("POST", path, b"serial=TC", kind, **sent)
    assert answer.status_code == 400
    assert "Only a part of this arrived." in answer.content.decode()
    assert [one for one in caplog.records if one.levelno >= logging.ERROR] == []
    assert Event.objects.count() == before


def test_half_a_form_is_not_taken_for_a_whole_one(yard: Yard, enter: Enter) -> None:
    """The serial that came is shorter than the one that was sent."""
    form = f"site={yard.site}&maker=Larkfield&papers=&command={uuid4()}&serial=TC-1".encode()
    sent: Any = {"wsgi.input": Short(form), "CONTENT_LENGTH": str(len(form) + 3)}
    kind = "application/x-www-form-urlencoded"
    client, before = enter(yard.ada), Event.objects.count()
    answer = client.generic("POST", "/receive", form, kind, **sent)
    assert answer.status_code == 400
    assert "Only a part of this arrived." in answer.content.decode()
    assert Event.objects.count() == before
