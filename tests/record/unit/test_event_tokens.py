"""Events hold tokens, numbers and what people typed, never a sentence of ours."""

import re
from collections.abc import Iterator
from typing import Any, Final

import msgspec

from prep.models import Event

TOKEN: Final = re.compile(r"[a-z0-9.-]*")
UNIT_OF_MEASURE: Final = re.compile(r"\S{0,6}|US (gal|qt|pt|fl oz|ton)|US gal/min|fl oz")

# What people typed: on a form, on a plate, on paper, in a file they sent.
TYPED: Final = frozenset(
    {
        *("place", "note", "text", "reason", "part", "expected", "what", "where", "raw", "also"),
        *("serial", "plate", "papers", "look_alikes", "lent_to", "relation", "language"),
        *("hour_meter", "mark", "writer_name"),
    }
)
# Texts and codes of what was published: models, tractors, instruments, procedures.
PUBLISHED: Final = frozenset(
    {
        *("model", "tractor", "instrument", "options", "maker", "procedure", "source", "one_of"),
        *("step", "line", "position", "choice", "cautions", "reopened", "steps", "name"),
    }
)
# The names of things and their digests; paths into the data of a model, `model.weight`; a number of
# a document, `YP-00481-C`.
IDS: Final = frozenset(
    {
        *("reading", "check", "photo", "flag", "release", "concession", "handover", "shortage"),
        *("supersedes", "digest", "content", "recipient_digest", "document", "number", "cause"),
        *("replaces", "buyer", "writer", "id"),
    }
)
# Words of the procedure's own schema, or of the rule whose inputs they are.
SCHEMA: Final = frozenset({"basis", "quantity", "inputs", "values", "result"})


def strings(value: Any, path: tuple[str, ...]) -> Iterator[tuple[tuple[str, ...], str]]:
    """Every text in a body, with its path; members of a list have that of the list."""
    if isinstance(value, str):
        yield path, value
    elif isinstance(value, dict):
        for name, inner in value.items():
            yield from strings(inner, (*path, name))
    elif isinstance(value, list):
        for inner in value:
            yield from strings(inner, path)


def sentences_of_ours(body: bytes) -> list[str]:
    """Texts of an event that are neither tokens nor on one of the lists above."""
    allowed = TYPED | PUBLISHED | IDS | SCHEMA
    wrong = []
    for path, text in strings(msgspec.json.decode(body), ()):
        named = set(path) & allowed
        unit = path[-1] in {"unit", "canonical_unit"} and UNIT_OF_MEASURE.fullmatch(text)
        kind = path == ("kind",) and re.fullmatch(r"[a-z]+\.[a-z_]+", text)
        fraction = re.fullmatch(r"-?[0-9]+(\.[0-9]+)?(/[0-9]+)?", text)
        if not (named or unit or kind or fraction or TOKEN.fullmatch(text)):
            wrong.append(f"{'.'.join(path)}: {text}")
    return wrong


def written_of_ours() -> list[str]:
    """The same of every event of a unit in the log."""
    bodies = Event.objects.filter(stream="unit").values_list("body", flat=True)
    assert bodies
    return [wrong for body in bodies for wrong in sentences_of_ours(body.encode())]
