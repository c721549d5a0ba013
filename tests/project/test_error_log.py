"""An unforeseen error is written down, and what it is of, without the secret in its address."""

import logging
from typing import Any

import pytest
from django.test import Client


def test_an_error_is_written_down_with_its_traceback_and_without_the_link(
    db: None, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    """The link of an invitation opens an account: it is in no log."""

    def broken(*args: Any) -> None:
        raise RuntimeError("invented")

    monkeypatch.setattr("prep.pages.views.people.joining.invited", broken)
    answer = Client(raise_request_exception=False).get("/join/very-secret-link")
    assert answer.status_code == 500
    assert "GET join/<str:secret> failed" in caplog.text
    assert "RuntimeError: invented" in caplog.text
    assert "very-secret-link" not in caplog.text
    [handler] = logging.getLogger("django.request").handlers
    assert handler.level == logging.ERROR
