"""Faults of the fields of a struct: all of them at once, each with its path and its problem."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Final, TypeVar, get_args, get_origin, get_type_hints

import msgspec

from prep.record.fields import meta_of
from prep.record.inputs.spelling import whole_of
from prep.record.refusal import Refusal

S = TypeVar("S", bound=msgspec.Struct)
YES_NO: Final = {"true": True, "false": False}

# What a msgspec validation error says, and the problem it stands for; a group is its bound.
_PROBLEMS: Final = (
    (re.compile(r"Expected `str` matching regex .*\\S"), "blank"),
    (re.compile(r"Expected `str` matching regex"), "malformed"),
    (re.compile(r"Expected `str` of length >= 1\b"), "blank"),
    (re.compile(r"Expected `array` of length >= 1\b"), "none-chosen"),
    (re.compile(r"Expected `(?:str|array)` of length <= (\d+)"), "too-long"),
    (re.compile(r"Expected `(?:int|float)` >= (-?[\d.]+)"), "too-small"),
    (re.compile(r"Expected `(?:int|float)` <= (-?[\d.]+)"), "too-large"),
    (re.compile(r"Invalid enum value"), "not-a-choice"),
    (re.compile(r"Expected `(.+?)`, got"), "wrong-type"),
)


@dataclass(frozen=True)
class Fault:
    """One fault: the path of the field, the problem as a token, and its bound where it has one."""

    path: tuple[str, ...]
    problem: str
    bound: str = ""


def checked(struct: S) -> S:
    """The struct with its fields checked, as one read from JSON is; Refusal with every fault."""
    return convert(msgspec.to_builtins(struct), type(struct))


def convert(values: Any, struct: type[S]) -> S:
    """Plain values as a struct; Refusal with every fault."""
    try:
        return msgspec.convert(values, struct)
    except msgspec.ValidationError as error:
        raise unfit(values, struct, str(error)) from error


def convert_texts(values: Mapping[str, Any], struct: type[S]) -> S:
    """Texts, as a form or an address sends them, as a struct; Refusal with every fault."""
    return convert(_spelled(values, struct), struct)


def _spelled(value: Any, hint: Any) -> Any:
    """A text as the number or the yes or no it spells; what it does not spell is left to fail."""
    if isinstance(value, Mapping):
        struct = _member(hint)
        hints = get_type_hints(struct, include_extras=True) if _is_struct(struct) else {}
        return {name: _spelled(one, hints.get(name)) for name, one in value.items()}
    if isinstance(value, list | tuple):
        return [_spelled(one, _member(hint)) for one in value]
    if not isinstance(value, str) or _takes(hint, str):
        return value
    if _takes(hint, bool):
        return YES_NO.get(value, value)
    number = whole_of(value) if _takes(hint, int) else None
    return value if number is None else number


def _takes(hint: Any, plain: type) -> bool:
    """Whether a type is this one, or one of several that it may be."""
    return hint is plain or any(_takes(part, plain) for part in get_args(hint))


def unfit(values: Any, struct: type[msgspec.Struct], error: str) -> Refusal:
    """The refusal of values that are no struct, naming every fault. `error` is msgspec's text."""
    faults = tuple(_faults(values, struct, ())) or (_fault((), error),)
    return Refusal("input-unfit", field=".".join(faults[0].path), faults=faults)


def _faults(values: Any, struct: type[msgspec.Struct], path: tuple[str, ...]) -> Iterator[Fault]:
    if not isinstance(values, Mapping):
        yield Fault(path, "wrong-type", "object")
        return
    fields = {field.encode_name: field for field in msgspec.structs.fields(struct)}
    tag = struct.__struct_config__.tag_field
    for name in values:
        if name == tag and values[name] != struct.__struct_config__.tag:
            yield Fault((*path, str(name)), "not-a-choice")
        elif name not in fields and name != tag:
            yield Fault((*path, str(name)), "unknown", ", ".join(fields))
    hints = get_type_hints(struct, include_extras=True)
    for name, field in fields.items():
        here = (*path, name)
        if name not in values:
            if field.required:
                yield Fault(here, "missing")
        else:
            yield from _faults_of_value(values[name], hints[field.name], here)


def _faults_of_value(value: Any, hint: Any, path: tuple[str, ...]) -> Iterator[Fault]:
    try:
        msgspec.convert(value, hint)
    except msgspec.ValidationError as error:
        member = _member(hint)
        inside: list[Fault] = []
        if isinstance(value, Mapping) and _is_struct(member):
            inside = list(_faults(value, member, path))
        elif isinstance(value, list | tuple) and _is_struct(member):
            for place, one in enumerate(value):
                inside += _faults(one, member, (*path, str(place)))
        elif isinstance(value, list | tuple) and member is not None:
            for place, one in enumerate(value):
                inside += _faults_of_value(one, member, (*path, str(place)))
        yield from inside or [_fault(path, str(error), hint)]


def _member(hint: Any) -> Any:
    """The struct in a type, or the type of the members of a sequence; None for any other."""
    if _is_struct(hint):
        return hint
    if get_origin(hint) in (tuple, list):
        return get_args(hint)[0]
    inner = (_member(part) for part in get_args(hint))
    return next((part for part in inner if part is not None), None)


def _annotated(hint: Any) -> Any:
    """The annotated type in a type that may also be None."""
    return next((part for part in get_args(hint) if hasattr(part, "__metadata__")), hint)


def _is_struct(hint: Any) -> bool:
    return isinstance(hint, type) and issubclass(hint, msgspec.Struct)


def _fault(path: tuple[str, ...], error: str, hint: Any = None) -> Fault:
    what, _, _ = error.partition(" - at `")
    named = meta_of(_annotated(hint)).get("malformed")
    if named and "matching regex" in what:
        return Fault(path, named)
    for pattern, problem in _PROBLEMS:
        if match := pattern.match(what):
            return Fault(path, problem, match[1] if pattern.groups else "")
    return Fault(path, "malformed")
