"""What the text or the value of a cell means for a column; Refusal where that is in doubt.

A spreadsheet changes what it takes for a number or a date: leading zeros go, long numbers become
powers of ten, “3-26” becomes a day in March. What was changed cannot be told from what was meant,
so it is refused with how to keep it, and nothing is turned back by guessing.
"""

import re
import unicodedata
from collections.abc import Callable
from datetime import date, datetime, time, timedelta
from enum import StrEnum
from typing import Any, Final

from prep.record.refusal import Refusal
from reports.imports.reading.cells import Cell, ErrorValue, Formula


class CellKind(StrEnum):
    """How the cells of a column are read."""

    CODE = "code"  # identifies something: a serial number, a code
    CODES = "codes"  # several of them, separated by commas or semicolons
    TEXT = "text"  # one line that people read
    LONG = "long"  # several lines
    WHOLE = "whole"  # a whole number
    DAY = "day"
    DATA = "data"  # a value of a model: a quantity with its unit, a count, yes or no, a list


EXPONENT: Final = re.compile(r"[0-9]([.,][0-9]+)?E[+-]?[0-9]+", re.IGNORECASE)
WHOLE_AS_FLOAT: Final = re.compile(r"[0-9]+[.,]0+")
WHOLE: Final = re.compile(r"0|-?[1-9][0-9]{0,14}")
DECIMAL: Final = re.compile(r"[+-]?[0-9]*[.,]?[0-9]+")
DECIMAL_COMMA: Final = re.compile(r"[0-9],[0-9]")
DAY: Final = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
ERRORS: Final = re.compile(r"#(N/A|REF!|VALUE!|NAME\?|DIV/0!|NULL!|NUM!|SPILL!|CALC!)|#+")
FORMULA_START: Final = ("=", "+", "-", "@")

# Signs without width, which come along when text is copied from web pages and mails.
WIDTHLESS: Final = "\u200b\u200c\u200d\u2060\ufeff\u00ad"
SPACES: Final = re.compile(r"[^\S\r\n\t ]")  # every space but the plain one
# Alphabets some of whose letters look exactly like Latin ones.
LOOK_ALIKE: Final = ("CYRILLIC", "GREEK", "FULLWIDTH", "CHEROKEE")
SHORTEST_SHOWN: Final = 60


def read_value(kind: CellKind, cell: Cell) -> Any:
    """The value of a cell; `None` for an empty one."""
    if isinstance(cell, Formula):
        # What it shows is no more than a copy of what it was when the workbook was last computed.
        raise Refusal("cell-formula")
    if isinstance(cell, ErrorValue):
        raise Refusal("cell-error", typed=cell.text)
    if not isinstance(cell, str):
        return _VALUES.get(kind, _no_text)(cell)
    text = _cleaned(cell, kind)
    if not text:
        return None
    if ERRORS.fullmatch(text):
        raise Refusal("cell-error", typed=text)
    return _TEXTS[kind](text)


def _cleaned(cell: str, kind: CellKind) -> str:
    """The text without what nobody sees at its ends, and with plain spaces within.

    A space is a space to whoever types it; that a spreadsheet or a web page made it unbreakable
    says nothing. Within a text signs without width are refused where it is a code, because two
    codes that differ only in them look the same.
    """
    text = SPACES.sub(" ", cell).strip(f"{WIDTHLESS} \t\r\n")
    for sign in text:
        if unicodedata.category(sign) == "Cc" and sign not in "\t\r\n":
            raise Refusal("cell-control-character", place=text.index(sign) + 1)
        if sign in WIDTHLESS and kind in {CellKind.CODE, CellKind.CODES}:
            raise Refusal("cell-invisible-character", place=text.index(sign) + 1)
    if kind is CellKind.LONG:
        return text.replace("\r\n", "\n").replace("\r", "\n")
    if re.search(r"[\t\r\n]", text):
        raise Refusal("cell-several-lines")
    return text


def _no_text(cell: Any) -> Any:
    """A value where a text is needed: what was typed is gone."""
    match cell:
        case bool():
            raise Refusal("cell-not-text", typed="TRUE" if cell else "FALSE")
        case date() | time() | timedelta():
            raise Refusal("cell-date-for-text", typed=str(cell))
        case _:
            raise Refusal("cell-number-for-text", typed=_shown(cell))


def _shown(number: float) -> str:
    return str(int(number)) if _is_whole(number) else str(number)


def _code(text: str) -> str:
    if text.startswith(FORMULA_START):
        # No plate and no label begins so; a cell that does was meant to be computed.
        raise Refusal("cell-like-formula", typed=text[:SHORTEST_SHOWN])
    if EXPONENT.fullmatch(text):
        raise Refusal("cell-exponent", typed=text)
    if WHOLE_AS_FLOAT.fullmatch(text):
        raise Refusal("cell-float", typed=text)
    for sign in text:
        if unicodedata.name(sign, "").startswith(LOOK_ALIKE):
            raise Refusal("cell-foreign-letter", character=sign, place=text.index(sign) + 1)
    return text


def _codes(text: str) -> tuple[str, ...]:
    parts = (part.strip() for part in re.split(r"[,;]", text))
    return tuple(_code(part) for part in parts if part)


def _text(text: str) -> str:
    if text.startswith("="):
        # The other three begin texts that people write: +1 605 …, - bent, @ the gate.
        raise Refusal("cell-like-formula", typed=text[:SHORTEST_SHOWN])
    return text


def _whole(text: str) -> int:
    if not WHOLE.fullmatch(text):
        raise Refusal("cell-not-whole", typed=text[:SHORTEST_SHOWN])
    return int(text)


def _whole_of_value(cell: Any) -> int:
    if isinstance(cell, bool) or not isinstance(cell, int | float) or not _is_whole(cell):
        raise Refusal("cell-not-whole", typed=str(cell)[:SHORTEST_SHOWN])
    return int(cell)


def _is_whole(number: float) -> bool:
    return abs(number) < 1e15 and number == int(number)


def _day(text: str) -> str:
    try:
        valid = DAY.fullmatch(text) and date.fromisoformat(text)
    except ValueError:
        valid = None
    if not valid:
        raise Refusal("day-unclear", typed=text[:SHORTEST_SHOWN])
    return text


def _day_of_value(cell: Any) -> str:
    if isinstance(cell, datetime):
        if cell.time() != time():
            raise Refusal("cell-time-for-day", typed=str(cell))
        cell = cell.date()
    if not isinstance(cell, date):
        raise Refusal("cell-number-for-day", typed=str(cell)[:SHORTEST_SHOWN])
    return cell.isoformat()


def _data(text: str) -> Any:
    """A value of a model as a document has it; a list has semicolons, one of one thing at its end.

    Numbers of quantities are written with a point, as in every document: with a comma, 1,250 kg
    could be one and a quarter.
    """
    _text(text)
    if EXPONENT.fullmatch(text):
        raise Refusal("cell-exponent", typed=text)
    if DECIMAL_COMMA.search(text):
        raise Refusal("cell-decimal-comma", typed=text[:SHORTEST_SHOWN])
    if ";" in text:
        return [_item(part.strip()) for part in text.split(";") if part.strip()]
    return _item(text)


def _item(text: str) -> Any:
    if WHOLE.fullmatch(text):
        return int(text)
    return {"yes": True, "no": False, "true": True, "false": False}.get(text.casefold(), text)


def _data_of_value(cell: Any) -> Any:
    if isinstance(cell, bool):
        return cell
    if isinstance(cell, date | time | timedelta):
        raise Refusal("cell-date-for-text", typed=str(cell))
    if not _is_whole(cell):
        raise Refusal("cell-number-without-unit", typed=_shown(cell))
    return int(cell)  # a count; a quantity has its unit and so is a text


_TEXTS: Final[dict[CellKind, Callable[[str], Any]]] = {
    CellKind.CODE: _code,
    CellKind.CODES: _codes,
    CellKind.TEXT: _text,
    CellKind.LONG: _text,
    CellKind.WHOLE: _whole,
    CellKind.DAY: _day,
    CellKind.DATA: _data,
}
_VALUES: Final[dict[CellKind, Callable[[Any], Any]]] = {
    CellKind.WHOLE: _whole_of_value,
    CellKind.DAY: _day_of_value,
    CellKind.DATA: _data_of_value,
}
