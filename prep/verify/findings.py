"""What a verification says, and how it tells how far it got."""

from collections.abc import Callable, Iterator
from typing import NamedTuple


class Finding(NamedTuple):
    """Something that is not as it was recorded: what sort of thing, which one, and what is wrong.

    `text` is a whole sentence for a person.
    """

    sort: str
    which: str
    text: str


class Stopped(Exception):
    """Whoever is told how far it got wants no more of it; nothing is wrong with what is checked."""


# Called with what is being checked, how much of it is done, and how much there is.
Tell = Callable[[str, int, int], None]
Check = Callable[[Tell], Iterator[Finding]]
