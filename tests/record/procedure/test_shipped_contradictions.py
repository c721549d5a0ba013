"""What the shipped procedures ask about at entry, because values read before say otherwise."""

import pytest

from prep.record.refusal import Refusal
from prep.record.unit.commands.entries import TakeReading
from prep.record.unit.limits import expected
from prep.rules.quantities.quantity import UNITS
from tests.record.procedure.shipped import (
    PROCEDURES,
    Hand,
    meant_for,
    started,
)

CUTTER = "rotary-cutter-r1"
CART = "grain-cart-r2"


def reached(model: str, step: str, line: str, options: tuple[str, ...] = ()) -> Hand:
    """A unit worked up to a line, meant for a tractor that fits it."""
    procedure, tractor = (CUTTER, "QM-4110") if model == "LF-RC15" else (CART, "QM-7220")
    hand = meant_for(started(model, procedure, options), tractor)
    hand.work_until(step, line)
    return hand


@pytest.mark.parametrize(
    ("model", "options", "step", "line", "others", "typed"),
    [
        # 540 rpm on the shield, 1000 rpm at the shaft: the other stub, or the other driveline
        ("LF-RC15", (), "run-rated", "pto", "540 rpm", "1000 rpm"),
        ("LF-RC15", ("1000 rpm driveline",), "run-1000", "pto", "1000 rpm", "540 rpm"),
        ("HM-C6", (), "run-rated", "pto", "1000 rpm", "540 rpm"),
        # 3/8 in, grade 70: 6600 lb, 49 CFR 393.108; 5400 lb is grade 43
        ("LF-RC15", (), "chain", "rating", "6600 lb", "5400 lb"),
        ("HM-C6", (), "chain", "rating", "20000 lb", "9200 lb"),
        # the power of the tractor on record, typed from another's papers
        ("LF-RC15", (), "tractor-size", "power", "110 hp", "190 hp"),
        ("LF-RC15", (), "tractor-size", "weight", "11200 lb", "11200 kg"),
        ("HM-C6", (), "tractor-size", "power", "190 hp", "110 hp"),
        # pi x 63 in x 810 rpm = 13 360 ft/min (arithmetic of a circle)
        ("LF-RC15", (), "after-run", "tip-speed", "13360 ft/min", "19000 ft/min"),
    ],
)
def test_a_value_that_others_contradict_is_asked_about(
    model: str, options: tuple[str, ...], step: str, line: str, others: str, typed: str
) -> None:
    """It is not taken before whoever typed it stands by it."""
    hand = reached(model, step, line, options)
    shown = hand.record.procedure.steps[step].by_line[line] if hand.record.procedure else None
    assert shown is not None
    implied = expected(hand.record, shown, "")
    assert implied is not None
    number, _, symbol = others.partition(" ")
    assert float(implied[0].in_unit(UNITS[symbol])) == pytest.approx(float(number), rel=0.002)
    before = len(hand.record.boxes)
    with pytest.raises(Refusal, match="contradicts"):
        hand.do(TakeReading(step=step, line=line, text=typed))
    assert len(hand.record.boxes) == before


def test_without_a_run_at_540_no_tip_speed_is_expected() -> None:
    """The run at 1000 rpm reads no spindle, so the plate is written down and nothing is asked."""
    hand = reached("LF-RC15", "after-run", "tip-speed", ("1000 rpm driveline",))
    assert (
        expected(hand.record, PROCEDURES[CUTTER].steps["after-run"].by_line["tip-speed"], "")
        is None
    )
