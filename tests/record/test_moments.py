"""When a command happened: what the device said, what its clock is worth, and what cannot be."""

from datetime import UTC, datetime, timedelta

import pytest

from prep.record.moments import Bound, Said, drift_of, happened_at, in_utc, not_before
from prep.record.refusal import Refusal

NOW = datetime(2026, 3, 2, 8, 0, tzinfo=UTC)
BEGUN = NOW - timedelta(days=5)
MINUTE = timedelta(minutes=1)


@pytest.mark.parametrize(
    ("said", "drift", "begun", "happened"),
    [
        (None, None, BEGUN, NOW),
        (None, 3600, BEGUN, NOW),
        (NOW - 90 * MINUTE, None, BEGUN, NOW - 90 * MINUTE),
        # Within two minutes a clock is right; beyond, every moment it says is moved.
        (NOW - 90 * MINUTE, 120, BEGUN, NOW - 90 * MINUTE),
        (NOW - 90 * MINUTE, 121, BEGUN, NOW - 90 * MINUTE + timedelta(seconds=121)),
        (NOW + 20 * MINUTE, -1800, BEGUN, NOW - 10 * MINUTE),
        # Two clocks within the slack may disagree: the moment is moved to its bound.
        (NOW + 2 * MINUTE, None, BEGUN, NOW),
        (BEGUN - 2 * MINUTE, None, BEGUN, BEGUN),
        (NOW - timedelta(days=60), None, None, NOW - timedelta(days=60)),
    ],
)
def test_a_moment_is_as_said_or_moved_by_what_the_clock_is_off(
    said: datetime | None, drift: int | None, begun: datetime, happened: datetime
) -> None:
    """Exactly, whatever the direction."""
    assert happened_at(Said(said, drift), NOW, begun) == happened


@pytest.mark.parametrize(
    ("said", "drift", "begun", "code"),
    [
        (NOW + 2 * MINUTE + timedelta(seconds=1), None, BEGUN, "happened-in-future"),
        (NOW + 10 * MINUTE, 121, BEGUN, "happened-in-future"),
        (BEGUN - 2 * MINUTE - timedelta(seconds=1), None, BEGUN, "happened-before-start"),
        (NOW - timedelta(days=60, seconds=1), None, None, "happened-too-long-ago"),
        (datetime(1, 1, 1, tzinfo=UTC), 10**10, BEGUN, "happened-before-start"),
        (datetime(9999, 12, 31, tzinfo=UTC), -121, BEGUN, "happened-in-future"),
    ],
)
def test_an_impossible_moment_is_refused_by_what_is_wrong_with_it(
    said: datetime, drift: int | None, begun: datetime | None, code: str
) -> None:
    """Each by its own sentence."""
    with pytest.raises(Refusal) as caught:
        happened_at(Said(said, drift), NOW, begun)
    assert caught.value.code == code


@pytest.mark.parametrize(
    ("field", "before", "result"),
    [
        ("", timedelta(seconds=120), "moved"),
        ("", timedelta(seconds=121), "refused"),
        # A time on paper is in whole minutes.
        ("paper.written", timedelta(seconds=60), "moved"),
        ("paper.written", timedelta(seconds=61), "refused"),
        ("", -timedelta(seconds=1), "kept"),
    ],
)
def test_nothing_happened_before_what_it_follows_from(
    field: str, before: timedelta, result: str
) -> None:
    """Within what a clock or a minute is off it is moved there, beyond it is refused by field."""
    said, bound = Said(NOW, field=field), Bound(NOW, Refusal("happened-before-work", moment=NOW))
    if result == "refused":
        with pytest.raises(Refusal) as caught:
            not_before(NOW - before, [bound], said)
        assert (caught.value.code, caught.value.field) == ("happened-before-work", field)
    else:
        assert not_before(NOW - before, [bound], said) == max(NOW - before, NOW)


def test_of_several_bounds_the_latest_counts() -> None:
    """In whatever order they come."""
    bounds = [
        Bound(NOW - n * MINUTE, Refusal("happened-before-work", moment=NOW)) for n in (1, 0, 3)
    ]
    assert not_before(NOW - MINUTE, bounds, Said(NOW)) == NOW
    assert not_before(NOW - MINUTE, reversed(bounds), Said(NOW)) == NOW


def test_the_ends_of_the_calendar_break_nothing() -> None:
    """A moment that UTC cannot say is the last one it can."""
    east = datetime.fromisoformat("0001-01-01T00:00:00+14:00")
    west = datetime.fromisoformat("9999-12-31T23:59:59-12:00")
    assert in_utc(east) == datetime.min.replace(tzinfo=UTC)
    assert in_utc(west) == datetime.max.replace(tzinfo=UTC)


def test_drift_is_in_whole_seconds_and_positive_for_a_clock_that_is_behind() -> None:
    """Added to what the clock says, it gives the right time."""
    assert drift_of(NOW, NOW - timedelta(seconds=90.4)) == 90
    assert drift_of(NOW, NOW + timedelta(minutes=3)) == -180
