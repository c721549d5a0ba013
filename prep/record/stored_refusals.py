"""Refusals as plain data, so that a row keeps one and its sentence is made when it is read."""

from collections.abc import Callable, Mapping
from dataclasses import fields, is_dataclass
from datetime import date, datetime
from typing import Any, Final

from prep.record.documents.problems import Problem
from prep.record.refusal import Refusal
from prep.record.struct_errors import Fault
from prep.rules.phrase import Amount, InputName, Phrase, QuantityName, RuleName, Token

KIND: Final = "$kind"  # no name of a detail
_CLASSES: Final = {
    one.__name__: one
    for one in (Amount, Fault, InputName, Phrase, Problem, QuantityName, RuleName, Token)
}

# What JSON has not, or the log does not hold: its class, its text, and the way back. A datetime is
# a date as well, and so comes first.
_AS_TEXT: Final[dict[str, tuple[type, Callable[[Any], str], Callable[[str], Any]]]] = {
    "datetime": (datetime, datetime.isoformat, datetime.fromisoformat),
    "date": (date, date.isoformat, date.fromisoformat),
    "float": (float, repr, float),
}


def stored(refusal: Refusal) -> dict[str, Any]:
    """A refusal as JSON can hold it."""
    return {"code": refusal.code, "field": refusal.field, "details": _plain(refusal.details)}


def restored(kept: Mapping[str, Any]) -> Refusal:
    """The refusal that was stored."""
    return Refusal(kept["code"], field=kept["field"], **_whole(kept["details"]))


def _plain(value: Any) -> Any:
    """A detail as JSON can hold it; what it was stands in KIND where JSON has no such thing."""
    if isinstance(value, Mapping):
        return {str(name): _plain(one) for name, one in value.items()}
    if isinstance(value, list | tuple | set | frozenset):
        return [_plain(one) for one in value]
    if is_dataclass(value) and not isinstance(value, type):
        held = {field.name: _plain(getattr(value, field.name)) for field in fields(value)}
        return {KIND: type(value).__name__, **held}
    for kind, (sort, to_text, _) in _AS_TEXT.items():
        if isinstance(value, sort):
            return {KIND: kind, "text": to_text(value)}
    return value if isinstance(value, int | None) else str(value)


def _whole(value: Any) -> Any:
    """A detail as it was before it was stored; every sequence is a tuple."""
    if isinstance(value, list):
        return tuple(_whole(one) for one in value)
    if not isinstance(value, Mapping):
        return value
    held = {name: _whole(one) for name, one in value.items()}
    kind = held.pop(KIND, "")
    if kind in _AS_TEXT:
        return _AS_TEXT[kind][2](held["text"])
    return _CLASSES[kind](**held) if kind else held
