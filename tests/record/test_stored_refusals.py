"""Refusals kept as plain data are the same when they are read again.

`tests.words.test_refusals` keeps one of every code.
"""

import json
from datetime import UTC, date, datetime

import pytest

from prep.record.procedure.document import Hazard, Work
from prep.record.refusal import Refusal
from prep.record.stored_refusals import restored, stored
from prep.rules.phrase import Amount, InputName, Phrase, QuantityName


@pytest.mark.parametrize(
    "value",
    [
        "text",
        7,
        0.5,
        True,
        None,
        ("a", 1),
        {"kind": "a detail of this name"},
        datetime(2026, 11, 25, 14, 5, tzinfo=UTC),
        date(2026, 11, 25),
        Amount(0.1, "m", span=True),
        Phrase("outside", {"least": Amount(1.0, "m"), "name": InputName("x"), "one": ("a",)}),
        QuantityName("torque"),
    ],
)
def test_a_detail_comes_back_as_it_was(value: object) -> None:
    """Text, numbers, moments, and what a rule names."""
    refusal = Refusal("rule-refused", field="text", why=value)
    again = restored(json.loads(json.dumps(stored(refusal))))
    assert (again.code, again.field, again.details) == ("rule-refused", "text", {"why": value})


def test_tokens_and_sequences_come_back_as_their_like() -> None:
    """A token equals its text; a list comes back as a tuple."""
    refusal = Refusal("not-safe-yet", states=[Hazard.AREA_CLEAR], work=Work.UNFOLD)
    again = restored(json.loads(json.dumps(stored(refusal)))).details
    assert again == {"states": ("area clear",), "work": "unfold"}
