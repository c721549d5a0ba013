"""Reading JSON that anybody may have sent: bounded before it is parsed, and read in one way only.

What two parsers may read differently (RFC 8259, 4 and 9; RFC 7493, 2) is refused and never
guessed: a name twice in one object, a number with more digits than a double keeps, one that is
none, half a character.
"""

import json
import re
from collections import Counter
from math import isinf
from typing import Any, Final, NoReturn

from prep.record.refusal import Refusal

DEEPEST: Final = 30
MOST_DIGITS: Final = 40  # of a number: a double has 17, and nobody types more
# A text to its end, or to the end of all: so the search never begins anew within one.
_TEXT: Final = re.compile(rb'"(?:[^"\\]|\\.)*+(?:"|\\?\Z)', re.DOTALL)
_NESTING: Final = re.compile(rb"[\[{\]}]")
_LONG_NUMBER: Final = re.compile(rb"[0-9.]{%d}" % (MOST_DIGITS + 1))
# As JSON writes it, not a typed “\u0000”.
_NUL: Final = re.compile(rb"(?<!\\)(?:\\\\)*\\u0000")


def read_json(raw: bytes) -> Any:
    """The value of a JSON text; Refusal that says why it is none."""
    bare = _TEXT.sub(b"", raw)
    _check_depth(bare)
    if _LONG_NUMBER.search(bare):
        raise Refusal("body-number-long", most=MOST_DIGITS)
    if _NUL.search(raw):
        raise Refusal("body-unprintable")
    try:
        text = raw.decode()
        value = json.loads(
            text, object_pairs_hook=_object, parse_float=_finite, parse_constant=_refuse_number
        )
        if "\\u" in text:
            json.dumps(value, ensure_ascii=False).encode()
    except UnicodeEncodeError as wrong:
        raise Refusal("body-unprintable") from wrong
    except (ValueError, RecursionError) as wrong:
        raise Refusal("body-unfit", parser=str(wrong)[:200]) from wrong
    return value


def _check_depth(bare: bytes) -> None:
    depth = 0
    for found in _NESTING.finditer(bare):
        depth += 1 if found[0] in b"[{" else -1
        if depth > DEEPEST:
            raise Refusal("body-deep", most=DEEPEST)


def _object(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    members = dict(pairs)
    if len(members) < len(pairs):
        [(twice, _)] = Counter(name for name, _ in pairs).most_common(1)
        raise Refusal("body-name-twice", name=twice[:60])
    return members


def _finite(text: str) -> float:
    number = float(text)
    if isinf(number):
        _refuse_number(text)
    return number


def _refuse_number(name: str) -> NoReturn:
    raise Refusal("body-unfit", parser=name[:60])
