"""Results of reading a typed entry: a value, a question, no measurement, or a refusal."""

from dataclasses import dataclass
from fractions import Fraction

from prep.rules.quantities.quantity import Measured


class EntryError(ValueError):
    """The entry cannot be read; the text tells the person what to type instead."""


@dataclass(frozen=True, slots=True)
class Typed:
    """One value, read without doubt.

    `also` is the value in the second unit when both were typed and agree; `written_resolution` is
    one unit of the last digit, or one part of the fraction, in the unit of `measured`.
    """

    raw: str
    measured: Measured
    also: Measured | None
    written_resolution: Fraction


@dataclass(frozen=True, slots=True)
class Choice:
    """One thing the entry can mean; `entry`, typed instead, reads as exactly this."""

    label: str
    entry: str
    measured: Measured


@dataclass(frozen=True, slots=True)
class Question:
    """More than one meaning: the person chooses, nobody guesses."""

    raw: str
    text: str
    choices: tuple[Choice, ...]


@dataclass(frozen=True, slots=True)
class NotMeasured:
    """A word, a mark or an approximation: kept as a note, never as a value."""

    raw: str
    reason: str


@dataclass(frozen=True, slots=True)
class Unreadable:
    """Refused, with a sentence that says what to type instead."""

    raw: str
    text: str


Result = Typed | Question | NotMeasured | Unreadable


def why_unread(entry: Question | NotMeasured | Unreadable) -> tuple[str, list[dict[str, str]]]:
    """Why a text gave no value: a sentence, and what it can mean where the person is to choose."""
    if isinstance(entry, Question):
        return entry.text, [{"label": c.label, "entry": c.entry} for c in entry.choices]
    return (entry.reason if isinstance(entry, NotMeasured) else entry.text), []
