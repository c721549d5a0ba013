"""Problems of a document: what is wrong where, as code and values.

`prep.words.procedure_problems` has the sentence of each code; the values are what it names.
"""

from collections.abc import Mapping
from typing import Any, NamedTuple


class Fault(NamedTuple):
    """What is wrong with a part of a document whose path is known."""

    code: str
    values: Mapping[str, Any]


class Problem(NamedTuple):
    """What is wrong, and the path of the part it is wrong with."""

    path: str
    code: str
    values: Mapping[str, Any]


def fault(code: str, **values: Any) -> Fault:
    """A fault with the values that its sentence names."""
    return Fault(code, values)


class DocumentError(ValueError):
    """A document is not usable, with every problem."""

    def __init__(self, problems: list[Problem]) -> None:
        super().__init__("; ".join(f"{path}: {code} {dict(v)}" for path, code, v in problems))
        self.problems = problems
