"""Who words are written for."""

from django.contrib.auth.models import AnonymousUser

from prep.models import Person
from prep.words.reader import ENGLISH, Reader


def reader_of(person: Person | AnonymousUser) -> Reader:
    """A person as a reader: language and number style; nobody signed in reads English."""
    if not isinstance(person, Person):
        return ENGLISH
    return Reader(language=person.language, decimal_comma=bool(person.decimal_comma))
