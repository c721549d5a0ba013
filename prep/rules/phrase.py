"""Phrases: what a rule has to say, as data.

A rule never writes a sentence. It gives a stable code and named values; `prep.words` has the
sentence of each code in every language and shows the values in the reader's units.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Amount:
    """A quantity in its SI unit, shown in the reader's; with `span` it is a difference.

    With `shown_in` it is shown in that unit, for figures a standard prints in one system only.
    """

    value: float
    unit: str
    span: bool = False
    shown_in: str = ""


@dataclass(frozen=True, slots=True)
class Token:
    """A word of ours among the values: a token of `prep.words.rules.terms`."""

    token: str


@dataclass(frozen=True, slots=True)
class QuantityName:
    """The name of a quantity, such as torque."""

    quantity: str


@dataclass(frozen=True, slots=True)
class InputName:
    """The name of an input of a rule."""

    name: str


@dataclass(frozen=True, slots=True)
class RuleName:
    """The name of a rule in the catalog; it is shown by its title."""

    name: str


@dataclass(frozen=True, slots=True)
class Phrase:
    """A code, and the values its sentence names."""

    code: str
    values: "Mapping[str, Value]" = field(default_factory=dict)

    def __str__(self) -> str:
        """The code and values for a log or a test; people are shown the sentence."""
        named = ", ".join(f"{name}={value}" for name, value in self.values.items())
        return f"{self.code} ({named})" if named else self.code


# Text is data: what a person typed, a code on a plate, a designation from a standard.
Value = (
    str
    | int
    | float
    | Amount
    | Token
    | QuantityName
    | InputName
    | RuleName
    | Phrase
    | tuple[str, ...]
)


def phrase(code: str, **values: Value) -> Phrase:
    """A phrase with its values by name."""
    return Phrase(code, values)


class Misfit(ValueError):
    """Values of one thing that do not go together; the phrase says why."""

    def __init__(self, code: str, **values: Value) -> None:
        self.phrase = Phrase(code, values)
        super().__init__(str(self.phrase))
