"""Reading YAML documents: procedures, models, tractors, instruments.

Decimal numbers stay text ("0.83" is not 0.82999999999999996), because numbers are exact and are
hashed.
"""

import hashlib
from typing import Any, TypeVar

import msgspec
import yaml

from prep.record.log import canonical_json
from prep.record.procedure.document import Procedure
from prep.record.procedure.problems import DocumentError, Problem

T = TypeVar("T")


class _ExactLoader(yaml.SafeLoader):
    """SafeLoader that leaves decimals and dates as the text they were written as."""


_ExactLoader.yaml_implicit_resolvers = {
    first: [(tag, pattern) for tag, pattern in pairs if not tag.endswith((":float", ":timestamp"))]
    for first, pairs in yaml.SafeLoader.yaml_implicit_resolvers.items()
}


def load_yaml(text: str) -> Any:
    """Plain values from YAML; DocumentError names line and column of a syntax error."""
    try:
        return yaml.load(text, Loader=_ExactLoader)
    except yaml.YAMLError as wrong:
        raise DocumentError([_not_yaml(wrong)]) from wrong


def _not_yaml(wrong: yaml.YAMLError) -> Problem:
    mark = getattr(wrong, "problem_mark", None)
    detail = getattr(wrong, "problem", None) or str(wrong)
    if mark is None:
        return Problem("document", "yaml-unreadable", {"detail": detail})
    place = {"line": mark.line + 1, "column": mark.column + 1}
    return Problem("document", "yaml-syntax", {**place, "detail": detail})


def convert(values: Any, struct: type[T]) -> T:
    """Values as a struct; DocumentError names the path of a field that does not fit."""
    try:
        return msgspec.convert(values, struct, strict=True)
    except msgspec.ValidationError as wrong:
        text, _, path = str(wrong).partition(" - at `")
        where = _named_path(values, path.rstrip("`") or "$")
        raise DocumentError([Problem(where, "field-unfit", {"detail": text})]) from wrong


def _named_path(values: Any, path: str) -> str:
    """A path with the codes along it: `sections[2] (tires).steps[0] (nuts)`."""
    shown, here = "", values
    for part in path.removeprefix("$").replace("[", ".[").split("."):
        if not part:
            continue
        try:
            here = here[int(part[1:-1])] if part.startswith("[") else here[part]
        except (KeyError, IndexError, TypeError, ValueError):
            here = None
        shown += part if part.startswith("[") else f".{part}"
        if isinstance(here, dict):
            code = next((here[k] for k in ("section", "step", "line") if k in here), None)
            shown += f" ({code})" if code else ""
    return shown.removeprefix(".") or "document"


def load_procedure(text: str) -> tuple[Procedure, dict[str, Any], str]:
    """A procedure, its plain values and its digest; DocumentError where it is not valid."""
    values = load_yaml(text)
    procedure = convert(values, Procedure)
    return procedure, values, digest_of(values)


def digest_of(values: Any) -> str:
    """SHA-256 over the canonical JSON of a document's values, in hex."""
    return hashlib.sha256(canonical_json.encode(values)).hexdigest()
