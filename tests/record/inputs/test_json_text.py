"""JSON that anybody may have sent: read in one way, or refused in words; and in bounded time."""

import json
from typing import Any

import pytest

from prep.record.inputs.json_text import read_json
from prep.record.refusal import Refusal


def code_of(raw: bytes) -> str:
    """The code of the refusal of a text."""
    with pytest.raises(Refusal) as no:
        read_json(raw)
    return no.value.code


@pytest.mark.parametrize(
    ("raw", "value"),
    [
        (b'{"a": [1, -0.5, "x", true, null]}', {"a": [1, -0.5, "x", True, None]}),
        (b'"\\ud83d\\ude9c"', "🚜"),  # the two halves of one character, RFC 8259, 7
        ('"é"'.encode(), "é"),
        (b'"\\\\u0000 is not a NUL"', "\\u0000 is not a NUL"),
        (b'"[[[[ \\" {{{{"', '[[[[ " {{{{'),
        (b"[" * 30 + b"]" * 30, None),
        (b"9" * 40, int("9" * 40)),
        (b'"' + b"9" * 5000 + b'"', "9" * 5000),
    ],
)
def test_what_is_json_is_read(raw: bytes, value: Any) -> None:
    """Brackets and digits within a text do not count."""
    read = read_json(raw)
    assert value is None or read == value


@pytest.mark.parametrize(
    ("raw", "code"),
    [
        (b"", "body-unfit"),
        (b"{", "body-unfit"),
        (b"[1,]", "body-unfit"),
        (b"NaN", "body-unfit"),
        (b"[-Infinity]", "body-unfit"),
        (b'{"a": 1e400}', "body-unfit"),
        (b"\xef\xbb\xbf{}", "body-unfit"),  # a byte order mark, RFC 8259, 8.1
        ("{}".encode("utf-16"), "body-unfit"),
        (b'"\xff"', "body-unfit"),
        (b'"\xc0\xaf"', "body-unfit"),  # overlong, RFC 3629, 3
        (b'"\xed\xa0\x80"', "body-unfit"),  # half a character, RFC 3629, 3
        (b'"a\x00b"', "body-unfit"),
        (b'"\\u0000"', "body-unprintable"),
        (b'"\\ud800"', "body-unprintable"),
        (b'{"\\udc00": 1}', "body-unprintable"),
        (b"[" * 31 + b"]" * 31, "body-deep"),
        (b"[" * 1_000_000, "body-deep"),
        (b'{"a":' * 100_000, "body-deep"),
        (b"9" * 41, "body-number-long"),
        (b"-" + b"9" * 4301, "body-number-long"),
        (b"0." + b"9" * 4301, "body-number-long"),
        (b'{"a": 1, "b": 2, "a": 1}', "body-name-twice"),
        (b'[{"a": {"b": 1, "\\u0062": 1}}]', "body-name-twice"),
    ],
)
def test_what_two_readers_may_read_differently_is_refused(raw: bytes, code: str) -> None:
    """And what no reader should have to read."""
    assert code_of(raw) == code


def test_the_name_that_is_there_twice_is_said() -> None:
    """However many others there are."""
    names = ", ".join(f'"n{number}": 1' for number in range(50_000))
    with pytest.raises(Refusal) as no:
        read_json(f'{{{names}, "n7": 1}}'.encode())
    assert no.value.details == {"name": "n7"}


@pytest.mark.parametrize(
    "raw", [b'"' + b'\\"' * 500_000, b'"\\' * 300_000, b'"' * 1_000_001, b"\\" * 1_000_000]
)
def test_a_text_without_an_end_is_refused_at_once(raw: bytes) -> None:
    """A search that began anew at each quote would take hours for a megabyte."""
    assert code_of(raw) == "body-unfit"


def test_everything_that_json_can_say_within_bounds_is_read() -> None:
    """As the library writes it."""
    value = {"a": [{"b": "c" * 1000, "d": [1.5, -2, 0]}] * 1000}
    assert read_json(json.dumps(value).encode()) == value
