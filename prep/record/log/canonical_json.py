"""Canonical JSON (RFC 8785), without floating-point numbers.

Bodies of events are hashed, so equal facts must give equal bytes on every machine. A float has
already lost what was typed (0.1 has no exact binary value, 450.0 and 450.00 are one float). A
measured number is therefore a decimal string, and a float is an error of the caller.
"""

import re
from collections.abc import Mapping
from typing import Any, Final

import orjson
import rfc8785

LARGEST_INTEGER: Final = 2**53 - 1  # RFC 8785 3.2.2.3 with RFC 7493 2.2: beyond it readers differ
DEEPEST: Final = 64  # levels; common parsers accept that many, and no event needs more
# First bytes of characters beyond the Basic Multilingual Plane. Keys are sorted by UTF-16 units
# (RFC 8785 3.2.3), which is the order of their UTF-8 bytes except where such a key is among them.
ASTRAL: Final = re.compile(rb"[\xf0-\xf4]")

# Position of a member: the position of its container, and the key or index in it.
Place = tuple[Any, str | int] | None


class CanonicalError(ValueError):
    """A value has no canonical JSON; `path` names the member at fault, from `$`."""

    def __init__(self, path: str, message: str) -> None:
        super().__init__(f"{path}: {message}")
        self.path = path
        self.message = message


def encode(value: Any) -> bytes:
    """Canonical bytes of a value made of objects, lists, strings, integers, booleans and null.

    Raises CanonicalError naming the place for a float, an integer beyond ±(2^53 − 1), a key that is
    not a string, text that is not Unicode, nesting deeper than 64, or any other type.
    """
    _check(value, None, 0)
    written = orjson.dumps(value, option=orjson.OPT_SORT_KEYS)
    return rfc8785.dumps(value) if ASTRAL.search(written) else written


def _check(value: Any, place: Place, depth: int) -> None:
    if depth > DEEPEST:
        raise _error(place, f"nested deeper than {DEEPEST} levels; write it flatter.")
    if isinstance(value, str):
        if not value.isascii():
            _check_text(value, place)
    elif isinstance(value, dict):
        for key, member in value.items():
            _check_key(key, place)
            _check(member, (place, key), depth + 1)
    elif isinstance(value, list | tuple):
        for position, member in enumerate(value):
            _check(member, (place, position), depth + 1)
    else:
        _check_scalar(value, place)


def _check_scalar(value: Any, place: Place) -> None:
    if value is None or isinstance(value, bool):
        return
    if isinstance(value, float):
        raise _error(place, f"{value!r} is a float; write a measured number as text, exactly.")
    if not isinstance(value, int):
        hint = " (copy it into a dict)" if isinstance(value, Mapping) else ""
        raise _error(place, f"{type(value).__name__} has no JSON form{hint}.")
    if abs(value) > LARGEST_INTEGER:
        raise _error(place, f"{value} is too large for a JSON number; write it as text.")


def _check_key(key: Any, place: Place) -> None:
    if not isinstance(key, str):
        raise _error(place, f"the key {key!r} is not text.")
    if not key.isascii():
        _check_text(key, place, " (a key)")


def _check_text(text: str, place: Place, which: str = "") -> None:
    try:
        text.encode()
    except UnicodeEncodeError:
        message = "the text holds half of a surrogate pair, which no file can hold."
        raise _error(place, message, which) from None


def _error(place: Place, message: str, which: str = "") -> CanonicalError:
    path = which
    while place:
        place, step = place
        path = (f"[{step}]" if isinstance(step, int) else f".{step}") + path
    return CanonicalError(f"${path}", message)
