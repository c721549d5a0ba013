"""Plain-language messages for msgspec validation errors."""

import re
from typing import Any, Final

_MISSING: Final = re.compile(r"Object missing required field `(.+?)`")
_UNKNOWN: Final = re.compile(r"Object contains unknown field `(.+?)`")


def explain(error: str, struct: type[Any]) -> tuple[str, str]:
    """Sentence and dotted member path for the text of a msgspec validation error.

    The path is empty where the error is about the whole value.
    """
    what, _, location = error.partition(" - at `")
    path = [part for part in re.split(r"[.\[\]]+", location.strip("`$")) if part]
    if missing := _MISSING.match(what):
        path.append(missing[1])
        sentence = f"“{missing[1]}” is missing."
    elif unknown := _UNKNOWN.match(what):
        path.append(unknown[1])
        sentence = f"There is no “{unknown[1]}” here."
        if len(path) == 1:
            sentence += f" Known: {', '.join(struct.__struct_fields__)}."
    else:
        sentence = f"“{'.'.join(path)}”: {what}." if path else f"{what}."
    return sentence, ".".join(path)
