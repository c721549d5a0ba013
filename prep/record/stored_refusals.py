"""Refusals as plain data, so that a row keeps one and its sentence is made when it is read."""

from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from datetime import date, datetime
from typing import Any, Final

from prep.record.refusal import Refusal
from prep.record.struct_errors import Fault
from prep.rules.phrase import Amount, InputName, Phrase, QuantityName, RuleName, Token

KIND: Final = "$kind"  # no name of a detail
_CLASSES: Final = {
    one.__name__: one for one in (Amount, Fault, InputName, Phrase, QuantityName, RuleName, Token)
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
    if isinstance(value, datetime):
        return {KIND: "datetime", "text": value.isoformat()}
    if isinstance(value, date):
        return {KIND: "date", "text": value.isoformat()}
    if is_dataclass(value) and not isinstance(value, type):
        held = {field.name: _plain(getattr(value, field.name)) for field in fields(value)}
        return {KIND: type(value).__name__, **held}
    return value if isinstance(value, int | float | None) else str(value)


def _whole(value: Any) -> Any:
    """A detail as it was before it was stored; every sequence is a tuple."""
    if isinstance(value, list):
        return tuple(_whole(one) for one in value)
    if not isinstance(value, Mapping):
        return value
    held = {name: _whole(one) for name, one in value.items()}
    match held.pop(KIND, ""):
        case "datetime":
            return datetime.fromisoformat(held["text"])
        case "date":
            return date.fromisoformat(held["text"])
        case "":
            return held
        case kind:
            return _CLASSES[kind](**held)
