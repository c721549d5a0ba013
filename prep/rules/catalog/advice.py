"""Advice on a reading outside its limit."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Advice:
    """One thing to turn, add or move.

    `do` is a sentence with `{amount}` in it; `amount` is in SI `unit`, so that whoever shows the
    sentence can say it in the unit the person typed. It is a difference, unless `span` is False:
    a temperature to keep to, not degrees to add.
    """

    do: str
    amount: float
    unit: str
    span: bool = True
