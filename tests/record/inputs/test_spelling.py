"""Moments, days, numbers and ids are spelled one way, and what is not is never taken for one."""

from datetime import UTC, date, datetime
from uuid import UUID

import pytest

from prep.record.inputs.spelling import clock_of, day_of, id_of, moment_of, whole_of


@pytest.mark.parametrize(
    ("text", "moment"),
    [  # the examples of RFC 3339, 5.8, but for its leap second, which no clock here can show
        ("1985-04-12T23:20:50.52Z", datetime(1985, 4, 12, 23, 20, 50, 520_000, UTC)),
        ("1996-12-19T16:39:57-08:00", datetime(1996, 12, 20, 0, 39, 57, tzinfo=UTC)),
        ("1937-01-01T12:00:27.87+00:20", datetime(1937, 1, 1, 11, 40, 27, 870_000, UTC)),
        ("2026-03-02t08:15:00z", datetime(2026, 3, 2, 8, 15, tzinfo=UTC)),
        ("2026-03-02 08:15:00Z", datetime(2026, 3, 2, 8, 15, tzinfo=UTC)),
    ],
)
def test_a_moment_is_spelled_as_in_rfc_3339(text: str, moment: datetime) -> None:
    """With a T, t or space, and its offset."""
    assert moment_of(text) == moment


@pytest.mark.parametrize(
    "text",
    [
        "",
        "0",
        "0.5",
        "1772439300",
        "2026-03-02",
        "2026-W10-1",
        "20260302T081500Z",
        "2026-03-02T08:15:00",  # of which zone?
        "2026-02-30T08:15:00Z",
        "2026-03-02T24:00:00Z",
        "2026-03-02T08:60:00Z",
        "2016-12-31T23:59:60Z",
        "2026-03-02T08:15:00+24:00",
        "2026-03-02T08:15:00-24:00",
        "2026-03-02T08:15:00.Z",
        "2026-03-02T08:15:00Z ",
        "2026-03-02T08:15:00Z\n",
        "٢٠٢٦-٠٣-٠٢T٠٨:١٥:٠٠Z",
        "0000-01-01T00:00:00Z",
        "0001-01-01T00:00:00+23:59",
        "9999-12-31T23:59:59-23:59",
        "10000-01-01T00:00:00Z",
        "now",
    ],
)
def test_what_is_no_moment_is_none(text: str) -> None:
    """Nor are the two ends of the calendar, which some zone cannot tell."""
    assert moment_of(text) is None


def test_a_form_sends_a_clock_without_its_zone() -> None:
    """As `datetime-local` of HTML does."""
    assert clock_of("2026-03-02T08:15") == datetime(2026, 3, 2, 8, 15)
    assert clock_of("2026-03-02") is None


@pytest.mark.parametrize(
    "text",
    ["", "20260302", "2026-W10-1", "2025-02-29", "2026-3-2", "٢٠٢٦-٠٣-٠٢", "0001-01-01",
     "9999-12-31", "2026-03-02 "],
)  # fmt: skip
def test_what_is_no_day_is_none(text: str) -> None:
    """A week, a short month, another script's digits."""
    assert day_of(text) is None
    assert day_of("2024-02-29") == date(2024, 2, 29)


@pytest.mark.parametrize(
    "text", ["", "1.0", "1e3", "+5", " 5", "1_000", "0x10", "٣", "５", "²", "NaN", "9" * 4301]
)
def test_what_is_no_whole_number_is_none(text: str) -> None:
    """Nor what has more digits than a JSON number keeps (RFC 8259, 6)."""
    assert whole_of(text) is None
    assert (whole_of("-5"), whole_of("9" * 15)) == (-5, 999_999_999_999_999)


@pytest.mark.parametrize(
    "text",
    ["", "0" * 32, "٠" * 32, "{00000000-0000-4000-8000-000000000000}",
     "urn:uuid:00000000-0000-4000-8000-000000000000", "00000000-0000-4000-8000-00000000000"],
)  # fmt: skip
def test_what_is_no_id_is_none(text: str) -> None:
    """With its dashes and nothing around it."""
    assert id_of(text) is None
    assert id_of("F81D4FAE-7DEC-11D0-A765-00A0C91E6BF6") == UUID(  # RFC 9562, 4
        "f81d4fae-7dec-11d0-a765-00a0c91e6bf6"
    )
