"""Findings of a verification, and the callback that reports its progress."""

from collections.abc import Callable, Iterator
from typing import NamedTuple


class Finding(NamedTuple):
    """One thing that is not as it was recorded: its sort, which one, and a sentence about it."""

    sort: str
    which: str
    text: str


class Stopped(Exception):
    """The progress callback asks to stop. It says nothing about what is checked."""


# Called with what is being checked, how much of it is done, and how much there is.
Tell = Callable[[str, int, int], None]
Check = Callable[[Tell], Iterator[Finding]]
