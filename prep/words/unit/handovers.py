"""Topics of the walk-through and uses of the machine in words."""

from collections.abc import Iterable
from typing import Final

from django.utils.translation import gettext_noop as _

from prep.words.reader import Reader, say

TOPICS: Final[dict[str, str]] = {
    "adjustments": _("adjustments"),
    "lubrication": _("grease points and oil levels"),
    "safety-signs": _("safety signs and their meaning"),
    "drive": _("engaging the drive"),
    "transport": _("transport locks and road travel"),
    "first-hours": _("first-hours checks"),
}
USES: Final[dict[str, str]] = {
    "own": _("own use"),
    "rental": _("rental"),
    "commercial": _("commercial use"),
}


def topic(token: str, reader: Reader) -> str:
    """A topic of the walk-through; one that a person added is as typed."""
    return say(reader, TOPICS[token]) if token in TOPICS else token


def topics(tokens: Iterable[str], reader: Reader) -> tuple[str, ...]:
    """Several topics, each in words."""
    return tuple(topic(token, reader) for token in tokens)


def first_use(token: str, reader: Reader) -> str:
    """What the machine will be used for."""
    return say(reader, USES[token])
