"""Who is told when nothing is sealed any more."""

from datetime import timedelta

import pytest

from prep.actions import sealing
from prep.actions.outages import checks
from tests.cast import Yard
from tests.pages.visitor import Enter

WORDS = "The log has not been sealed since"


@pytest.fixture
def no_worker_came(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever waits has waited for longer than a worker takes."""
    monkeypatch.setattr(checks, "SEALED_WITHIN", timedelta(minutes=-1))


@pytest.mark.usefixtures("no_worker_came")
@pytest.mark.parametrize(
    ("who", "path", "is_told"),
    [("mira", "/", True), ("otto", "/", True), ("rhea", "/audit/", True), ("ada", "/", False)],
)
def test_the_office_and_the_auditor_are_told_that_nothing_is_sealed(
    yard: Yard, enter: Enter, who: str, path: str, is_told: bool
) -> None:
    """The technician in the yard cannot put it right and is not bothered."""
    yard.receive()
    page = enter(getattr(yard, who)).get(path).content.decode()
    assert (WORDS in page) is is_told


def test_entries_of_a_moment_ago_are_no_news(yard: Yard, enter: Enter) -> None:
    """They are sealed with the next look of the worker."""
    sealing.seal()
    yard.receive()
    assert WORDS not in enter(yard.mira).get("/").content.decode()


@pytest.mark.usefixtures("no_worker_came")
def test_sealed_the_notice_goes(yard: Yard, enter: Enter) -> None:
    """However long it took."""
    yard.receive()
    sealing.seal()
    assert WORDS not in enter(yard.mira).get("/").content.decode()
