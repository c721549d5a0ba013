"""Limits in the shipped procedures agree with their published sources."""

import math
import re
from datetime import date
from fractions import Fraction
from typing import Any

import msgspec
import pytest

from prep.record.instrument.known import KnownInstrument
from prep.record.procedure.line import Computed, Limit, Line
from prep.record.refusal import Refusal
from prep.record.unit.commands.entries import CheckSetting
from prep.record.unit.limits import call, freeze
from prep.rules.conformity.judgment import SettingAnswer, Verdict
from prep.rules.quantities.quantity import canonical
from tests.record.procedure.shipped import PROCEDURES, Hand, meant_for, started

CUTTER, CART, CART_2 = "rotary-cutter-r1", "grain-cart-r1", "grain-cart-r2"


def line_of(procedure: str, step: str, line: str) -> Line:
    """A line by its codes."""
    return PROCEDURES[procedure].steps[step].by_line[line]


def limit_of(procedure: str, step: str, line: str) -> Limit:
    """The limit of a line that has one."""
    limit = line_of(procedure, step, line).limit
    assert limit is not None
    return limit


def ends(hand: Hand, procedure: str, step: str, line: str, unit: str) -> tuple[float, float]:
    """Both ends of a limit as frozen for a unit, in a unit of its quantity."""
    what = line_of(procedure, step, line)
    frozen = freeze(hand.record, what, "")
    assert frozen is not None
    factor = canonical(what.quantity).factor / PER[unit]
    low, high = (
        float(Fraction(end) * factor) if end else math.nan for end in (frozen.low, frozen.high)
    )
    return round(low, 6), round(high, 6)


# Exact factors of NIST SP 811, appendix B.8, to SI.
PER = {
    "in": Fraction("0.0254"),
    "ft": Fraction("0.3048"),
    "rpm": Fraction(1, 60),
    "count": Fraction(1),
    "US gal": Fraction("0.003785411784"),
    "lb": Fraction("0.45359237"),
    "ft·lbf": Fraction("1.3558179483314004"),
}


@pytest.mark.parametrize("procedure", [CUTTER, CART, CART_2])
@pytest.mark.parametrize(("tractor", "inches"), [("QM-4110", 14), ("QM-7220", 16), ("DM-T300", 20)])
def test_drawbar_distance_is_the_published_one_by_pto_type(
    procedure: str, tractor: str, inches: int
) -> None:
    """14, 16, 20 in: ISO 6489-3 / AD6489-3 in five or more public restatements, within 1/2 in."""
    model = PROCEDURES[procedure].models[0]
    hand = meant_for(started(model, procedure), tractor)
    assert ends(hand, procedure, "drawbar", "distance", "in") == (inches - 0.5, inches + 0.5)
    assert limit_of(procedure, "drawbar", "distance").basis == "standard"


@pytest.mark.parametrize(
    ("tractor", "stub", "ground"),
    [
        ("QM-4110", (8, 12), (15, 22)),
        ("QM-7220", (8, 14), (15, 22)),
        ("DM-T300", (10, 14), (15, 22)),
        ("PC-38", (8, 12), (13, 20)),
    ],
)
def test_drawbar_heights_are_the_restated_asae_windows(
    tractor: str, stub: tuple[float, float], ground: tuple[float, float]
) -> None:
    """Older ASAE S203/S482 as a public operator manual restates them, in."""
    hand = meant_for(started("HM-C6", CART), tractor)
    assert ends(hand, CART, "drawbar", "stub", "in") == stub
    assert ends(hand, CART, "drawbar", "ground", "in") == ground


@pytest.mark.parametrize(
    ("model", "procedure", "options", "splines", "window"),
    [
        ("LF-RC15", CUTTER, (), 6, (530, 550)),
        ("LF-RC20", CUTTER, (), 21, (975, 1025)),
        ("HM-C6", CART, (), 21, (975, 1025)),
        ("HM-C10", CART, (), 20, (975, 1025)),
    ],
)
def test_splines_and_speeds_are_those_of_the_pto_type(
    model: str, procedure: str, options: tuple[str, ...], splines: int, window: tuple[float, float]
) -> None:
    """ISO 500-1 and -3 restated; 540 ± 10 and 1000 ± 25 rpm: older ASAE table restated."""
    hand = started(model, procedure, options)
    assert ends(hand, procedure, "shaft", "splines", "count") == (splines, splines)
    assert ends(hand, procedure, "run-rated", "pto", "rpm") == window


def test_the_emblem_hangs_two_to_six_feet_up_and_the_ambers_three_to_ten() -> None:
    """ASAE S276.5 and S279.10 by university extension pages; 60 to 85 flashes a minute."""
    hand = started("LF-RC15", CUTTER)
    assert ends(hand, CUTTER, "marking", "emblem", "ft") == (2, 6)
    assert ends(hand, CUTTER, "lights", "height", "ft") == (3, 10)
    assert ends(hand, CUTTER, "lights", "flashes", "rpm") == (60, 85)


def test_the_safety_chain_is_rated_for_the_gross_weight() -> None:
    """ANSI/ASAE S338.5 as restated in tractor manuals."""
    low, _ = ends(started("LF-RC15", CUTTER), CUTTER, "chain", "rating", "lb")
    assert low == 5300
    assert limit_of(CUTTER, "chain", "rating").basis == "standard"


def test_values_of_the_trade_say_that_no_source_is_published() -> None:
    """A clamp bolt at 170 ft·lbf, one US gallon for a small wing fold: common practice."""
    hand = started("LF-RC15", CUTTER)
    assert ends(hand, CUTTER, "input", "clamp", "ft·lbf") == (161.5, 178.5)
    assert ends(hand, CUTTER, "reserve", "above-low", "US gal")[0] == 1
    for step, line in (("input", "clamp"), ("reserve", "above-low")):
        limit = limit_of(CUTTER, step, line)
        assert limit.basis == "common-practice"
        assert limit.source.startswith("common practice, no published source")


def test_the_small_wing_fold_draws_about_a_gallon() -> None:
    """By hand: 2 x pi/4 x 2.5² x 16 in³ and 40 ft of 3/8 in hose, 231 in³ to the US gallon."""
    by_hand = (2 * math.pi / 4 * 2.5**2 * 16 + math.pi / 4 * 0.375**2 * 480) / 231
    low, high = ends(started("LF-RC15", CUTTER), CUTTER, "charge", "taken", "US gal")
    assert (low + high) / 2 == pytest.approx(by_hand, abs=1e-5)
    assert by_hand == pytest.approx(1, abs=0.1)  # common practice, no published source


def test_the_cutting_height_is_worked_out_from_the_segments() -> None:
    """By hand: 2 in and 1.5 times one segment of 1 in and two of 1/2 in makes 5 in, ± 3/8."""
    assert ends(started("LF-RC15", CUTTER), CUTTER, "height", "cut", "in") == (4.625, 5.375)


def test_the_rear_tip_is_held_half_an_inch_to_an_inch_above_the_front() -> None:
    """Front read at 5 in: rear from 5 1/2 to 6 in; never lower than the front."""
    hand = started("LF-RC15", CUTTER)
    hand.work_until("pitch", "rear")
    assert ends(hand, CUTTER, "pitch", "rear", "in") == (5.5, 6)


@pytest.mark.parametrize(
    ("model", "procedure", "tractor"),
    [
        ("LF-RC15", CUTTER, "QM-4110"),
        ("LF-RC20", CUTTER, "DM-T140D"),
        ("HM-C6", CART_2, "QM-7220"),
        ("HM-C10", CART, "DM-T300"),
    ],
)
def test_a_fitting_tractor_bends_no_joint_past_the_makers_greatest_angle(
    model: str, procedure: str, tractor: str
) -> None:
    """The invented limits agree with the invented geometry, over crests and in hollows too.

    No chart is held against them, but none is passed: 80 degrees for a wide-angle joint and 25
    for a single one, as driveline manuals quoted in public have it.
    """
    hand = meant_for(started(model, procedure), tractor)
    hand.work_until("reach", "longest")
    reach = limit_of(procedure, "reach", "longest").nominal
    assert isinstance(reach, Computed)
    for end, chart in (("tractor", 80), ("machine", 25)):
        asked = msgspec.structs.replace(reach, field=f"{end}_angle")
        most = freeze(hand.record, line_of(procedure, "fit", f"{end}-joint"), "")
        assert most is not None
        bend = math.degrees(call(hand.record, asked, "")[0])
        assert 0 < bend < float(most.high) <= chart


@pytest.mark.parametrize("name", PROCEDURES)
def test_every_limit_names_its_source_and_a_standard_names_who_publishes_it(name: str) -> None:
    """A limit names a standard as its source exactly where that is its basis, or where guarded."""
    for step in PROCEDURES[name].steps.values():
        for limit in (line.limit for line in step.lines if line.limit):
            assert limit.source.strip()
            published = re.search("ISO [0-9]|ASAE|ASABE", limit.source)
            assert bool(published) == (limit.basis == "standard" or limit.decision == "guarded")


@pytest.mark.parametrize(
    ("step", "line", "position", "typed", "verdict"),
    [
        ("tires", "pressure", "left wing", "65 psi", Verdict.NONCONFORMING),
        ("nuts", "final", "left wing", "230 ft lb", SettingAnswer.OUT_OF_LIMIT),
        ("nuts", "final", "left wing", "200 ft lb", SettingAnswer.IN_LIMIT),
        ("blade-torque", "bolts", "", "500 ft-lb", SettingAnswer.OUT_OF_LIMIT),
        ("blade-torque", "bolts", "", "470 ft-lb", SettingAnswer.NEAR_LIMIT),
        ("blade-torque", "bolts", "", "450 ft-lb", SettingAnswer.IN_LIMIT),
        ("wing-level", "wing", "left wing", "5 3/8 in", Verdict.NONCONFORMING),
        ("wing-level", "wing", "left wing", "5 1/4 in", Verdict.CONFORMING),
        ("tractor-size", "power", "", "31 hp", Verdict.NONCONFORMING),
        ("tractor-pto", "splines", "", "21", Verdict.NONCONFORMING),
        ("drawbar", "distance", "", "10 in", Verdict.NONCONFORMING),
        ("drawbar", "distance", "", "350 mm", Verdict.CONFORMING),
        ("fit", "tractor-joint", "", "72°", Verdict.NONCONFORMING),
        ("fit", "tractor-joint", "", "61.5°", Verdict.CONFORMING),
        ("fit", "machine-joint", "", "25.5°", Verdict.NONCONFORMING),
    ],
)
def test_what_goes_wrong_in_the_yard_is_caught(
    step: str, line: str, position: str, typed: str, verdict: Verdict | SettingAnswer
) -> None:
    """Transport pressure, over-torque, a wing high, short hole, other spline, a sharp joint."""
    hand = meant_for(started("LF-RC15", CUTTER), "QM-4110")
    wanted = hand.work_until(step, line)
    before = wanted.by_line[line].boxes
    for other in before[: before.index(position)]:
        hand.answer(wanted, wanted.by_line[line], other)
    hand.take(wanted, wanted.by_line[line], position, typed)
    assert hand.verdict(step, line, position) == verdict


def test_the_overdue_wrench_is_refused_for_the_wheel_nuts() -> None:
    """TW4-N was due on 1 March 2026, and says so."""
    hand = started("LF-RC15", CUTTER)
    hand.work_until("nuts", "final")
    (old,) = (tool for tool in hand.tools if tool.code == "TW4-N")
    box: dict[str, Any] = {"step": "nuts", "line": "final", "position": "center left"}
    with pytest.raises(Refusal, match="instrument-overdue") as refused:
        hand.do(
            CheckSetting(text="200 ft lb", checked=6, moved=6, instrument=old.code, **box),
            instrument=KnownInstrument(old),
        )
    assert refused.value.details["due"] == date(2026, 3, 1)
