"""What a person is told of a value that does not fit the struct it is meant for."""

import re
from typing import Any, Final

_MISSING: Final = re.compile(r"Object missing required field `(.+?)`")
_UNKNOWN: Final = re.compile(r"Object contains unknown field `(.+?)`")


def unfit(complaint: str, form: type[Any]) -> tuple[str, str]:
    """A sentence for what msgspec complains of, and the dotted path of the member meant.

    The path is empty where the complaint is about the whole.
    """
    what, _, place = complaint.partition(" - at `")
    path = [part for part in re.split(r"[.\[\]]+", place.strip("`$")) if part]
    if missing := _MISSING.match(what):
        path.append(missing[1])
        sentence = f"“{missing[1]}” is missing."
    elif unknown := _UNKNOWN.match(what):
        path.append(unknown[1])
        sentence = f"There is no “{unknown[1]}” here."
        if len(path) == 1:
            sentence += f" Known: {', '.join(form.__struct_fields__)}."
    else:
        sentence = f"“{'.'.join(path)}”: {what}." if path else f"{what}."
    return sentence, ".".join(path)
