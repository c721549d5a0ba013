"""Short words for the tests of typed entries."""

from fractions import Fraction

from prep.rules.entries.read import Question, Typed, Unreadable, read
from prep.rules.phrase import Phrase
from prep.rules.quantities.quantity import Measured, unit


def value(number: str, symbol: str) -> Measured:
    """A value with its unit; a mixed number is written `13 7/8`."""
    return Measured(sum((Fraction(part) for part in number.split()), Fraction(0)), unit(symbol))


def typed(text: str, quantity: str, decimal_comma: bool | None = None) -> Typed:
    """The entry, which must read without doubt."""
    result = read(text, quantity, decimal_comma=decimal_comma)
    assert isinstance(result, Typed), result
    return result


def asked(text: str, quantity: str, decimal_comma: bool | None = None) -> Question:
    """The question the entry raises."""
    result = read(text, quantity, decimal_comma=decimal_comma)
    assert isinstance(result, Question), result
    return result


def entries(question: Question) -> list[str]:
    """What may be typed instead."""
    return [choice.entry for choice in question.choices]


def refused(text: str, quantity: str) -> Phrase:
    """Why the entry is refused."""
    result = read(text, quantity)
    assert isinstance(result, Unreadable), result
    return result.why
