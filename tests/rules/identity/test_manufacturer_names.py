"""Names of manufacturers, compared as people mistype them.

Common practice, no published source.
"""

import pytest

from prep.rules.identity.manufacturer_names import closest, easily_mistaken

KNOWN = ("Hollowfold", "Larkfield", "Larkfield Implements", "Pebblecroft", "Quillmoor Tractors")


@pytest.mark.parametrize("typed", ["Larkfeild", "larkfield", "LARK-FIELD", "Larkfie1d"])
def test_the_one_that_was_meant_is_named_first(typed: str) -> None:
    """Letters swapped, left out, added, in capitals, or a digit for a letter."""
    assert closest(typed, KNOWN)[0] == "Larkfield"


def test_at_most_three_are_named_and_always_some() -> None:
    """Of nothing alike the nearest all the same: somebody has to go on from there."""
    assert len(closest("Xyz", KNOWN)) == 3
    assert closest("Xyz", ()) == ()
    assert closest("Xyz", ["Abc"]) == ("Abc",)


def test_only_what_is_near_is_easily_mistaken() -> None:
    """A further word makes another name."""
    assert easily_mistaken("Larkfeild", KNOWN) == ("Larkfield",)
    assert easily_mistaken("Pebblecraft", KNOWN) == ("Pebblecroft",)
    assert easily_mistaken("Larkspur Forge", KNOWN) == ()
