"""Advice on a reading outside its limit."""

from collections.abc import Mapping
from dataclasses import dataclass

from prep.rules.phrase import Value


@dataclass(frozen=True, init=False)
class Advice:
    """One thing to turn, add or move: a code of `prep.words.rules.advice` and by how much.

    `amount` is in SI `unit`, so that it can be shown in the unit the person typed. It is a
    difference, unless `span` is False: a temperature to keep to, not degrees to add. `values`
    holds what else the sentence names.
    """

    do: str
    amount: float
    unit: str
    span: bool
    values: Mapping[str, Value]

    def __init__(
        self, do: str, amount: float, unit: str, *, span: bool = True, **values: Value
    ) -> None:
        for name, value in (("do", do), ("amount", amount), ("unit", unit), ("span", span)):
            object.__setattr__(self, name, value)
        object.__setattr__(self, "values", values)
