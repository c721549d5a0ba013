"""A clock that a test sets."""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from unittest.mock import patch

from django.utils import timezone


class Clock:
    """The time that the service reads."""

    def __init__(self) -> None:
        self.now = datetime(2026, 3, 2, 7, tzinfo=UTC)

    def wait(self, seconds: float) -> None:
        """Let time pass."""
        self.now += timedelta(seconds=seconds)


@contextmanager
def clock() -> Iterator[Clock]:
    """The clock, set for the length of a `with` block."""
    held = Clock()
    with patch.object(timezone, "now", lambda: held.now):
        yield held
