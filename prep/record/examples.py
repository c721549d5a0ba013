"""An example of a command, made from the examples of its fields' types."""

from enum import Enum
from typing import Any, get_args, get_type_hints

import msgspec


def example_of(struct: type[msgspec.Struct]) -> dict[str, Any]:
    """Plain values of the required fields of a struct, and of those with an example."""
    hints = get_type_hints(struct, include_extras=True)
    values = {}
    for field in msgspec.structs.fields(struct):
        example = _example(hints[field.name])
        if field.required or example is not None:
            values[field.encode_name] = example
    return values


def _example(hint: Any) -> Any:
    """An example of a type; None where there is none."""
    for part in getattr(hint, "__metadata__", ()):
        if isinstance(part, msgspec.Meta) and part.examples:
            return part.examples[0]
    bare = getattr(hint, "__origin__", hint)
    if isinstance(bare, type) and issubclass(bare, msgspec.Struct):
        return example_of(bare)
    if bare in (tuple, list):
        inner = _example(get_args(hint)[0])
        return None if inner is None else [inner]
    if isinstance(bare, type) and issubclass(bare, Enum):
        return next(iter(bare)).value
    return {bool: True, int: 1}.get(bare)
