"""Names of manufacturers compared: which known ones a text is nearest to or mistaken for."""

import difflib
from collections.abc import Iterable
from typing import Final

from prep.rules.identity.look_alikes import look_alike_key

NAMED: Final = 3  # of the known names, how many somebody is pointed to
# Share of characters two names have in common in one order: common practice, no published source.
ALIKE: Final = 0.8


def closest(name: str, known: Iterable[str]) -> tuple[str, ...]:
    """The known names nearest to a text, the nearest first; at most three.

    >>> closest("Larkfeld", ["Hollowmere Works", "Larkfield", "Pebblecroft"])[0]
    'Larkfield'
    """
    return _near(name, known, 0.0)


def easily_mistaken(name: str, known: Iterable[str]) -> tuple[str, ...]:
    """The known names that somebody may mean by a text: common practice, no published source.

    >>> easily_mistaken("Larkfeld", ["Hollowmere Works", "Larkfield"])
    ('Larkfield',)
    """
    return _near(name, known, ALIKE)


def _near(name: str, known: Iterable[str], least: float) -> tuple[str, ...]:
    by_key = {look_alike_key(one): one for one in sorted(known, reverse=True)}
    keys = difflib.get_close_matches(look_alike_key(name), sorted(by_key), NAMED, least)
    return tuple(by_key[key] for key in keys)
