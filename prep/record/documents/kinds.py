"""Types of the fields of documents: what a field may hold, and what can stand in for it."""

from enum import Enum
from functools import cache
from types import NoneType, UnionType
from typing import (
    Annotated,
    Any,
    Final,
    Literal,
    NamedTuple,
    Union,
    get_args,
    get_origin,
    get_type_hints,
)

import msgspec

BROKEN: Final = object()  # stands for what cannot be made of a node
YES_NO: Final = {"true": True, "yes": True, "false": False, "no": False}

# What a field takes, as `prep.words` calls it.
_TEXT, _INT, _BOOL, _LIST, _FIELDS = "str", "int", "bool", "array", "object"


class Field(NamedTuple):
    """A field of a struct: its name in a document, its type, and whether it may be left out."""

    name: str
    hint: Any
    required: bool


@cache
def fields_of(struct: type[msgspec.Struct]) -> dict[str, Field]:
    hints = get_type_hints(struct, include_extras=True)
    return {
        one.encode_name: Field(one.encode_name, hints[one.name], one.required)
        for one in msgspec.structs.fields(struct)
    }


def is_struct(hint: Any) -> bool:
    return isinstance(hint, type) and issubclass(hint, msgspec.Struct)


@cache
def options_of(hint: Any) -> tuple[tuple[Any, ...], tuple[msgspec.Meta, ...]]:
    """The plain types a field may have, and the limits of its values."""
    if get_origin(hint) is Annotated:
        inner, *extras = get_args(hint)
        options, metas = options_of(inner)
        return options, (*metas, *(one for one in extras if isinstance(one, msgspec.Meta)))
    if get_origin(hint) in {Union, UnionType}:
        parts = [options_of(one) for one in get_args(hint)]
        return (
            tuple(option for options, _ in parts for option in options),
            tuple(meta for _, metas in parts for meta in metas),
        )
    return (hint,), ()


@cache
def words_of(options: tuple[Any, ...]) -> tuple[str, ...]:
    """The words a field may hold; none where it takes any text."""
    words: list[str] = []
    for option in options:
        if get_origin(option) is Literal:
            words += [str(word) for word in get_args(option)]
        elif isinstance(option, type) and issubclass(option, Enum):
            words += [str(one.value) for one in option]
    return tuple(words)


def yes_no(options: tuple[Any, ...]) -> frozenset[str]:
    """Ways to write yes and no; where a text may stand as well, `no` is a text."""
    return frozenset({"true", "false"} if str in options else YES_NO)


def wanted(options: tuple[Any, ...]) -> tuple[str, ...]:
    """The kinds of value a field takes."""
    kinds = {str: _TEXT, int: _INT, bool: _BOOL, tuple: _LIST, list: _LIST, dict: _FIELDS}
    named = [
        _FIELDS
        if is_struct(option)
        else _TEXT
        if words_of((option,))
        else kinds.get(get_origin(option) or option, "")
        for option in options
    ]
    return tuple(dict.fromkeys(one for one in named if one))


def stand_in(hint: Any) -> Any:
    """A value in the place of one that is missing or does not fit; BROKEN where none would do."""
    options, metas = options_of(hint)
    if NoneType in options:
        return None
    if words := words_of(options):
        return words[0]
    option = options[0]
    if is_struct(option):
        return _stand_in_struct(option)
    if option is str:
        return _stand_in_text(metas)
    if option is int:
        return next((meta.ge for meta in metas if meta.ge is not None), 0)
    return {tuple: [], list: [], dict: {}, bool: False}.get(get_origin(option) or option, BROKEN)


def _stand_in_struct(struct: type[msgspec.Struct]) -> Any:
    if hasattr(struct, "__post_init__"):
        return BROKEN
    made = {one.name: stand_in(one.hint) for one in fields_of(struct).values() if one.required}
    return BROKEN if any(one is BROKEN for one in made.values()) else made


def _stand_in_text(metas: tuple[msgspec.Meta, ...]) -> Any:
    for meta in metas:
        try:
            msgspec.convert("x", Annotated[str, meta])
        except msgspec.ValidationError:
            return BROKEN
    return "x"
