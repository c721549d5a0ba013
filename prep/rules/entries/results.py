"""Results of reading a typed entry: a value, a question, no measurement, or a refusal."""

from dataclasses import dataclass
from fractions import Fraction

from prep.rules.phrase import Phrase, Value
from prep.rules.quantities.quantity import Measured


class EntryError(ValueError):
    """The entry cannot be read; `why` says so, and its sentence what to type instead."""

    def __init__(self, code: str, **values: Value) -> None:
        self.why = Phrase(code, values)
        super().__init__(str(self.why))


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
    why: Phrase
    choices: tuple[Choice, ...]


@dataclass(frozen=True, slots=True)
class NotMeasured:
    """No value: a word, a mark or an approximation, kept as a note; or "not measured, because …".

    `because` is the reason somebody gave for not measuring: an answer, which a note is not. Neither
    ever counts as a value.
    """

    raw: str
    why: Phrase
    because: str = ""


@dataclass(frozen=True, slots=True)
class Unreadable:
    """Refused; the sentence of `why` says what to type instead."""

    raw: str
    why: Phrase


Unread = Question | NotMeasured | Unreadable
Result = Typed | Unread


def choices_of(entry: Unread) -> list[dict[str, str]]:
    """What a text can mean, where the person is to choose."""
    choices = entry.choices if isinstance(entry, Question) else ()
    return [{"label": choice.label, "entry": choice.entry} for choice in choices]
