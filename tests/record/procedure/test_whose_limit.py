"""Whose limit it is: a general value never passes for the manufacturer's."""

from dataclasses import replace
from typing import Any

import msgspec
import pytest

from prep.record.procedure.line import Limit
from prep.record.unit.frozen_limit import FrozenLimit
from prep.record.unit.limits import freeze
from prep.rules.catalog.catalog import RULES
from prep.words.reader import ENGLISH
from prep.words.unit.limits import computation
from tests.record.procedure.shipped import PROCEDURES, Hand, meant_for, started

CUTTER = "rotary-cutter-r1"


def frozen(hand: Hand, step: str, line: str, **changed: Any) -> FrozenLimit:
    """A limit of the cutter's procedure for a unit; `changed` inputs of its rule are left out."""
    what = PROCEDURES[CUTTER].steps[step].by_line[line]
    if changed:
        assert what.limit is not None
        rule = what.limit.at_least
        assert not isinstance(rule, str)
        assert rule is not None
        inputs = {name: value for name, value in rule.inputs.items() if name not in changed}
        bound = msgspec.structs.replace(rule, inputs=inputs)
        limit = msgspec.structs.replace(what.limit, at_least=bound)
        what = msgspec.structs.replace(what, limit=limit)
    found = freeze(hand.record, what, "")
    assert found is not None
    return found


def with_model_data(hand: Hand, **data: str) -> Hand:
    """The same unit, of a model whose data sheet says something else."""
    assert hand.record.model is not None
    facts = msgspec.structs.replace(hand.record.model, data={**hand.record.model.data, **data})
    return replace(hand, record=replace(hand.record, model=facts))


def test_a_limit_does_not_say_by_default_whose_it_is() -> None:
    """Left out, it would have been taken for the manufacturer's."""
    with pytest.raises(msgspec.ValidationError, match="basis"):
        msgspec.convert({"source": "a manual", "at_least": "1 in"}, Limit)


def test_the_manufacturers_minimum_decides_where_there_is_one() -> None:
    """The limit is the manufacturer's, from the manual that the procedure names."""
    limit = frozen(meant_for(started("LF-RC15", CUTTER), "QM-4110"), "tractor-size", "power")
    assert (limit.basis, limit.source) == (
        "manufacturer",
        "Set-up manual, tractor wanted (invented)",
    )
    assert limit.computed is not None
    shown = computation(limit.computed, ENGLISH)
    assert shown.decided_by == "The manufacturer's value decided."


def test_without_the_manufacturers_minimum_the_rule_of_thumb_says_that_it_is_one() -> None:
    """5 hp per foot of cut is common practice, and the limit cites that and not the manual."""
    hand = meant_for(started("LF-RC15", CUTTER), "QM-4110")
    limit = frozen(hand, "tractor-size", "power", model_minimum=None)
    assert (limit.basis, limit.source) == (
        "common-practice",
        RULES["pto.minimum_power"].sections["Source"],
    )
    assert limit.computed is not None
    shown = computation(limit.computed, ENGLISH)
    assert shown.decided_by == "A general value decided, not the manufacturer's."


def test_a_mass_ratio_above_the_manufacturers_minimum_is_not_the_manufacturers() -> None:
    """5,300 lb over 1.5 is 3,533 lb: more than a manufacturer's 1,000 lb, and a public ratio."""
    hand = meant_for(started("LF-RC15", CUTTER), "QM-4110")
    stated = frozen(with_model_data(hand, least_tractor_mass="9000 lb"), "tractor-size", "weight")
    assert stated.basis == "manufacturer"
    general = frozen(with_model_data(hand, least_tractor_mass="1000 lb"), "tractor-size", "weight")
    assert general.basis == "common-practice"


def test_an_input_nobody_gave_is_shown_as_assumed() -> None:
    """The gas law takes the air pressure at sea level (ICAO Doc 7488), and says so."""
    hand = started("LF-RC15", CUTTER)
    hand.work_until("tires", "pressure")
    computed = frozen(hand, "tires", "pressure").computed
    assert computed is not None
    assert computed.assumed == {"atmosphere": "101325"}
    shown = computation(computed, ENGLISH)
    assert shown.inputs["atmosphere"] == "101325 (general value; none was given)"
