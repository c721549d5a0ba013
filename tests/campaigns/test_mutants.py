"""The mutants can still be made: each says exactly one place, and tests that exist."""

import pytest

from tests.campaigns.mutants.catalog import MUTANTS
from tests.campaigns.mutants.mutant import ROOT, Mutant


@pytest.mark.parametrize("mutant", MUTANTS, ids=lambda one: one.name)
def test_a_mutant_can_be_made(mutant: Mutant) -> None:
    """Code that moved on takes its mutants along; whether they die, the campaign tells."""
    source = (ROOT / mutant.path).read_text()
    assert mutant.applied(source) != source
    for tests in mutant.tests:
        assert (ROOT / tests).exists()
