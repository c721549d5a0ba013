"""The one spelling of a JSON value: RFC 8785, without floating-point numbers.

Bodies of events are hashed, so equal facts must give equal bytes on every machine. A float has
already lost what was typed (0.1 is not 0.1, 450.0 is not 450.00); a measured number is therefore
a decimal string, and a float anywhere is a mistake of the caller that must not be written.
"""

from collections.abc import Mapping
from typing import Any, Final

import rfc8785

LARGEST_INTEGER: Final = 2**53 - 1  # RFC 8785 3.2.2.3 with RFC 7493 2.2: beyond it readers differ
DEEPEST: Final = 64  # levels; every reader's parser manages that, no event needs more


class CanonicalError(ValueError):
    """The value has no canonical spelling; `path` says where in it, from `$`."""

    def __init__(self, path: str, message: str) -> None:
        super().__init__(f"{path}: {message}")
        self.path = path
        self.message = message


def encode(value: Any) -> bytes:
    """Canonical bytes of a value made of objects, lists, strings, integers, booleans and null.

    Raises CanonicalError naming the place for a float, an integer beyond ±(2^53 − 1), a key that is
    not a string, text that is not Unicode, nesting deeper than 64, or any other type.
    """
    _check(value, "$", 0)
    return rfc8785.dumps(value)


def _check(value: Any, path: str, depth: int) -> None:
    if depth > DEEPEST:
        raise CanonicalError(path, f"nested deeper than {DEEPEST} levels; write it flatter.")
    if isinstance(value, str):
        _check_text(value, path)
    elif isinstance(value, dict):
        for key, member in value.items():
            _check_key(key, path)
            _check(member, f"{path}.{key}", depth + 1)
    elif isinstance(value, list | tuple):
        for position, member in enumerate(value):
            _check(member, f"{path}[{position}]", depth + 1)
    else:
        _check_scalar(value, path)


def _check_scalar(value: Any, path: str) -> None:
    if value is None or isinstance(value, bool):
        return
    if isinstance(value, float):
        raise CanonicalError(
            path, f"{value!r} is a float; write a measured number as text, exactly."
        )
    if not isinstance(value, int):
        hint = " (copy it into a dict)" if isinstance(value, Mapping) else ""
        raise CanonicalError(path, f"{type(value).__name__} has no JSON form{hint}.")
    if abs(value) > LARGEST_INTEGER:
        raise CanonicalError(path, f"{value} is too large for a JSON number; write it as text.")


def _check_key(key: Any, path: str) -> None:
    if not isinstance(key, str):
        raise CanonicalError(path, f"the key {key!r} is not text.")
    _check_text(key, f"{path} (a key)")


def _check_text(text: str, path: str) -> None:
    try:
        text.encode()
    except UnicodeEncodeError:
        raise CanonicalError(
            path, "the text holds half of a surrogate pair, which no file can hold."
        ) from None
