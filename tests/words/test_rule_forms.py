"""The words around a rule's form: its topic, its choices, the ranges of its inputs."""

import re
from typing import Final

import pytest

from prep.rules.answers import all_rules  # noqa: F401 - fills the catalog
from prep.rules.catalog.catalog import RULES, In, OneOf
from prep.words.reader import ENGLISH, Reader
from prep.words.rules.choices import CHOICES, range_text
from prep.words.rules.topics import TOPICS, topic_title

# Designations of standards, which are shown as they are.
DESIGNATION: Final = re.compile(
    r"[\dA-Z./,x -]+|(?:nut )?(?:class|grade) [\d.]+|type I+ class [A-G]|[\d-]+ hp"
)


def choices() -> set[str]:
    """Every choice of every rule."""
    specs = [parameter.spec for rule in RULES.values() for parameter in rule.parameters]
    return {str(one) for spec in specs if isinstance(spec, OneOf) for one in spec.choices}


def test_every_topic_has_its_title() -> None:
    """And no title is left over."""
    assert {name.partition(".")[0] for name in RULES} == set(TOPICS)
    assert topic_title("gear_oil.ambient", ENGLISH) == "Gear oil"


def test_every_choice_that_is_a_word_is_called_something() -> None:
    """All but designations of standards."""
    words = {one for one in choices() if not DESIGNATION.fullmatch(one)}
    assert len(words) > 40
    assert words == set(CHOICES) - {"yes", "no"}


@pytest.mark.parametrize(
    ("spec", "reader", "text"),
    [
        (In("1", 0.0, 0.5), ENGLISH, "From 0 to 0.5."),
        (In("m", 0.0, 0.5), ENGLISH, "From 0 to 0.5 m. Type it in any unit of length."),
        (In("1", 0.0, 0.5), Reader(decimal_comma=True), "From 0 to 0,5."),
    ],
)
def test_a_range_is_in_the_readers_number_style(spec: In, reader: Reader, text: str) -> None:
    """With what it may be typed in, where it has a unit."""
    assert range_text(spec, reader) == text
