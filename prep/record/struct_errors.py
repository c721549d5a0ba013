"""msgspec's validation errors as sentences for a person."""

import re
from typing import Any, Final

_MISSING: Final = re.compile(r"Object missing required field `(.+?)`")
_UNKNOWN: Final = re.compile(r"Object contains unknown field `(.+?)`")


def explain(error: str, struct: type[Any]) -> tuple[str, str]:
    """A sentence for a msgspec validation error, and the dotted path of the member it is about.

    The path is empty where the error is about the whole value.
    """
    what, _, place = error.partition(" - at `")
    path = [part for part in re.split(r"[.\[\]]+", place.strip("`$")) if part]
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
