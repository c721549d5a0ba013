"""The headers of every address: what a browser may run, ask for, and keep.

Content-Security-Policy is that of W3C CSP Level 3, Permissions-Policy that of the W3C draft of the
same name, `no-store` that of RFC 9111, 5.2.2.5.
"""

from pathlib import Path
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client
from knox.models import AuthToken

from prep.models import Person
from tests.cast import PASSWORD, Yard
from tests.project.other_yard import Route, one_of_everything, routes
from tests.stored_files import own_folders

UNKNOWN = {
    "ending": "csv", "kind": "sheet", "language": "en", "manufacturer": uuid4(), "model": "TC-12",
    "name": "units", "number": "C", "procedure": "rotary-cutter", "revision": 1, "rule": "x",
    "size": 1, "step": "block", "digest": "0" * 64, "code": "W-1", "tractor": "T-90",
    "secret": "0" * 40, "token": "0" * 40,
}  # fmt: skip
# The same for everybody, whoever asks.
PUBLIC = {"/script-texts/en.js": "public, max-age=60"}
KEPT_BY_DIGEST = "private,no-cache"  # of a document without personal data


@pytest.fixture(autouse=True)
def _own_folders(settings: Any, tmp_path: Path) -> None:
    own_folders(settings, tmp_path)


def addresses(yard: Yard) -> list[str]:
    """Every address, filled in with things of the yard."""
    values = {**UNKNOWN, **one_of_everything(yard)}
    return sorted({route.filled(values) for route in routes() if _is_fixed(route)})


def _is_fixed(route: Route) -> bool:
    return not route.path.endswith("api/v1/")  # whatever else is below it


def client_of(person: Person | None) -> Client:
    """Somebody by page and by API; nobody."""
    client = Client(raise_request_exception=False)
    if person is None:
        return client
    assert client.login(username=person.username, password=PASSWORD)
    client.defaults["HTTP_AUTHORIZATION"] = f"Token {AuthToken.objects.create(user=person)[1]}"
    return client


@pytest.mark.parametrize("who", ["mira", None])
def test_every_answer_says_what_a_browser_may_do_and_keeps_nothing(
    yard: Yard, who: str | None
) -> None:
    """Whether somebody is signed in or not, and whatever the status."""
    client = client_of(getattr(yard, who) if who else None)
    statuses = set()
    for path in addresses(yard):
        answer = client.get(path)
        answer.getvalue()
        statuses.add(answer.status_code)
        sent = answer.headers
        assert "default-src 'self'" in sent["Content-Security-Policy"], path
        assert "unsafe" not in sent["Content-Security-Policy"], path
        assert "frame-ancestors 'none'" in sent["Content-Security-Policy"], path
        for closed in ("camera=()", "geolocation=()", "microphone=()", "usb=()"):
            assert closed in sent["Permissions-Policy"], path
        assert "=*" not in sent["Permissions-Policy"]
        assert sent["Referrer-Policy"] == "same-origin"
        assert sent["X-Content-Type-Options"] == "nosniff"
        assert sent["Cross-Origin-Resource-Policy"] == "same-origin"
        assert sent["Cross-Origin-Opener-Policy"] == "same-origin"
        kept = sent["Cache-Control"]
        by_digest = "/documents/" in path and kept == KEPT_BY_DIGEST
        assert "no-store" in kept or kept == PUBLIC.get(path) or by_digest, path
    assert 500 not in statuses
    assert {200, 404} <= statuses if who else statuses >= {200, 302, 401}


def test_a_list_that_stands_is_not_sent_again_and_not_kept_by_the_browser(yard: Yard) -> None:
    """A program keeps the tag itself; 304 has the header too."""
    client = client_of(yard.mira)
    first = client.get("/api/v1/buyers")
    again = client.get("/api/v1/buyers", headers={"If-None-Match": first.headers["ETag"]})
    assert (again.status_code, again.headers["Cache-Control"]) == (304, "no-store")
