"""The reader that a person is."""

from typing import Any

from prep.models import Person
from prep.words.reader import ENGLISH, Reader


def reader_of(person: Any) -> Reader:
    """Language, units and number style of a person; English for whoever is not signed in."""
    if not isinstance(person, Person):
        return ENGLISH
    return Reader(
        language=person.language,
        units="metric" if person.units == "metric" else "us",
        decimal_comma=bool(person.decimal_comma),
    )
