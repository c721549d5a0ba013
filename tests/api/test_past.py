"""Views of the past over the API, and what a release stands for."""

from datetime import timedelta
from typing import Any
from uuid import UUID

import pytest
from django.utils import timezone

from prep.actions.submission import Submission
from tests.api.client import Api
from tests.cast import Yard, days_ago

DAY = timedelta(days=1)


@pytest.fixture
def unit(yard: Yard) -> UUID:
    """A unit of three days ago with a reading of two days ago that came in now."""
    with days_ago(3):
        unit = yard.started()
    late = Submission(happened=timezone.now() - 2 * DAY)
    yard.take(unit, "pitch", "front", "4 in", command=late)
    return unit


def view(name: str, moment: Any) -> str:
    """The query of a view."""
    return f"?{name}={moment.isoformat().replace('+00:00', 'Z')}"


@pytest.mark.parametrize(("name", "version"), [("known_at", 2), ("happened_by", 3)])
def test_a_unit_its_readiness_and_its_sheet_say_which_view_they_are(
    api: Api, unit: UUID, name: str, version: int
) -> None:
    """The reading that came later is in one of the two; neither bears an ETag."""
    moment = timezone.now() - DAY
    for what in ("", "/readiness", "/sheet"):
        answer = api.get(f"units/{unit}{what}{view(name, moment)}")
        assert answer.body["version"] == version
        assert answer.body["as_of"]["view"] == name.replace("_", "-")
        assert answer.body["as_of"]["left_out"] == []
        assert "ETag" not in answer.headers
    answer = api.get(f"units/{unit}/history{view(name, moment)}")
    assert [event["version"] for event in answer.body["items"]] == list(range(1, version + 1))


def test_the_present_is_no_view_of_the_past(api: Api, unit: UUID) -> None:
    """And it has its ETag."""
    answer = api.get(f"units/{unit}")
    assert answer.body["as_of"] is None
    assert answer.etag == '"3"'


def test_a_view_is_one_of_the_two(api: Api, unit: UUID) -> None:
    """Not both, and not before the unit was there."""
    now = timezone.now()
    both = f"{view('known_at', now)}&{view('happened_by', now)[1:]}"
    assert api.get(f"units/{unit}{both}").code == "one-view-only"
    for name in ("known_at", "happened_by"):
        answer = api.get(f"units/{unit}{view(name, now - 30 * DAY)}")
        assert (answer.status, answer.code) == (404, "not-here-then")


def test_the_sheet_tells_what_a_release_would_stand_for(api: Api, unit: UUID) -> None:
    """The reading that was entered late."""
    (item,) = api.get(f"units/{unit}/sheet").body["stands_for"]
    assert (item["kind"], item["step"], item["line"]) == ("entered-late", "pitch", "front")
    assert item["text"] == "“4 in”: entered 2 days after it happened"
