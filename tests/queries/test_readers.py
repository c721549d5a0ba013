"""A person as the reader of words."""

import pytest
from django.contrib.auth.models import AnonymousUser

from prep.models import Person
from prep.queries.readers import reader_of
from prep.words.reader import ENGLISH, Reader


@pytest.mark.parametrize(("comma", "style"), [(True, True), (False, False), (None, False)])
def test_a_person_is_read_to_in_their_language_and_number_style(
    comma: bool | None, style: bool
) -> None:
    """Who has not said how they write decimals is shown a point."""
    person = Person(language="fr", decimal_comma=comma)
    assert reader_of(person) == Reader(language="fr", decimal_comma=style)


def test_nobody_signed_in_reads_english() -> None:
    """As a program that sends a wrong token does."""
    assert reader_of(AnonymousUser()) == ENGLISH
