"""Lists in words: joined with commas, and with “and” or “or” before the last."""

from collections.abc import Iterable
from typing import Final

from django.utils.translation import gettext_noop as _

from prep.words.reader import Reader, say

AND: Final = _("{earlier} and {last}")
OR: Final = _("{earlier} or {last}")
NONE: Final = _("none")


def all_of(items: Iterable[str], reader: Reader) -> str:
    """`a, b and c`."""
    return _joined(list(items), AND, reader)


def one_of(items: Iterable[str], reader: Reader) -> str:
    """`a, b or c`."""
    return _joined(list(items), OR, reader)


def _joined(items: list[str], text: str, reader: Reader) -> str:
    if not items:
        return say(reader, NONE)
    *earlier, last = items
    if not earlier:
        return last
    # Semicolons where an item has commas of its own.
    mark = "; " if any("," in item for item in items) else ", "
    return say(reader, text, earlier=mark.join(earlier), last=last)
