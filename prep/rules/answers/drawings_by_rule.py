"""The picture that goes with a rule's answer, for the rules that have one."""

from collections.abc import Callable, Mapping
from fractions import Fraction
from typing import Any, Final

from prep.rules.conformity.judgment import DecisionRule, Interval, judge
from prep.rules.deck.cutting_height import StopChoice, choose_stops, stack_of
from prep.rules.deck.leveling import HeightFinding, wing
from prep.rules.drawings.captions import Show, Words
from prep.rules.drawings.driveline import Halves, driveline_drawing
from prep.rules.drawings.guard_band import guard_band_drawing
from prep.rules.drawings.height_stops import stops_drawing
from prep.rules.drawings.leveling import pitch_drawing, wing_drawing
from prep.rules.drawings.shapes import Drawing
from prep.rules.driveline.pose import Geometry, Joints, Reach, sweep
from prep.rules.quantities.quantity import from_si, show
from prep.rules.quantities.quantity import unit as unit_called

Inputs = Mapping[str, Any]
Draw = Callable[[Inputs, Any, str, Words], tuple[Drawing, ...]]

WING: Final = "leveling.wing"  # a picture takes two answers of it, see `wings`
FREE_ROD: Final = 1.6  # of the stack's length the rod is drawn where its own is not known


def drawings(
    rule: str, inputs: Inputs, result: Any, length_unit: str, words: Words
) -> tuple[Drawing, ...]:
    """Pictures of an answer, lengths in the unit called `length_unit`; none for most rules.

    `inputs` in SI, as the rule was called; `words` in the reader's language.
    """
    draw = DRAWN.get(rule)
    return draw(inputs, result, length_unit, words) if draw else ()


def _pitch(inputs: Inputs, finding: HeightFinding, unit: str, words: Words) -> tuple[Drawing, ...]:
    front, rear = inputs["front"], inputs["rear"]
    window = inputs["least_lower"], inputs["most_lower"]
    return (pitch_drawing(front, rear, *window, finding, _show_in(unit, words), words),)


def _stops(inputs: Inputs, choice: StopChoice, unit: str, words: Words) -> tuple[Drawing, ...]:
    thicknesses = tuple(inputs["thicknesses"])
    space, show_length = inputs["rod_space"], _show_in(unit, words)
    return (stops_drawing(inputs["wanted"], choice, thicknesses, space, show_length, words),)


def _fitted_stops(inputs: Inputs, height: float, unit: str, words: Words) -> tuple[Drawing, ...]:
    """The segments as fitted; their widths are to scale, the bare rod behind them is not."""
    thicknesses, counts = tuple(inputs["thicknesses"]), tuple(inputs["counts"])
    stack = stack_of(thicknesses, tuple(int(count) for count in counts))
    choice = choose_stops(
        wanted=height,
        tolerance=0.0,
        base_height=inputs["base_height"],
        ratio=inputs["ratio"],
        thicknesses=thicknesses,
        counts=counts,
        fitted=counts,
        rod_space=max(stack, min(thicknesses)),
    )
    space, show_length = FREE_ROD * stack, _show_in(unit, words)
    return (stops_drawing(height, choice, thicknesses, space, show_length, words),)


def wings(left: Inputs, right: Inputs, unit: str, words: Words) -> Drawing:
    """Both wings against the center, from the inputs of leveling.wing for each."""
    return wing_drawing(
        left["center"],
        left["wing"],
        right["wing"],
        left["tolerance"],
        (wing(**left), wing(**right)),
        _show_in(unit, words),
        words,
    )


def _extremes(inputs: Inputs, extremes: Any, unit: str, words: Words) -> tuple[Drawing, ...]:
    """The longest and the shortest pose, and the one that bends a joint most where it is neither.

    The longest must keep its overlap, the shortest its clearance; both are stated where the
    inputs also hold the halves as measured, `outer` and `inner`.
    """
    geometry = Geometry(**_named(inputs, Geometry))
    wide = inputs.get("wide_angle", "none")
    joints = Joints(
        inputs.get("in_phase", True), wide in {"tractor", "both"}, wide in {"machine", "both"}
    )
    poses = sweep(geometry, Reach(**_named(inputs, Reach)), joints)
    halves = Halves(inputs["outer"], inputs["inner"]) if "outer" in inputs else None
    named = {
        poses.longest: words.caption("longest", pose=words.pose(extremes.longest_pose)),
        poses.shortest: words.caption("shortest", pose=words.pose(extremes.shortest_pose)),
    }
    bend, sharpest = poses.machine_bend, extremes.machine_angle_pose
    if extremes.tractor_angle >= extremes.machine_angle:
        bend, sharpest = poses.tractor_bend, extremes.tractor_angle_pose
    named.setdefault(bend, words.caption("sharpest", pose=words.pose(sharpest)))
    return tuple(
        driveline_drawing(geometry, pose, headline, unit, words, halves)
        for pose, headline in named.items()
    )


def _probability(inputs: Inputs, _: Any, unit: str, words: Words) -> tuple[Drawing, ...]:
    """The reading among its limits, decided at the limit itself; no unit was given."""
    low, high = inputs.get("low"), inputs.get("high")
    interval = Interval(
        None if low is None else Fraction(low), None if high is None else Fraction(high)
    )
    value, expanded = Fraction(inputs["value"]), 2 * Fraction(inputs["standard_uncertainty"])
    judgment = judge(value, interval, DecisionRule("simple"), expanded)
    return (guard_band_drawing(value, judgment, expanded, "", words),)


def _named(inputs: Inputs, form: type[Any]) -> dict[str, float]:
    """The inputs a dataclass takes by the same names; what is not given is 0."""
    return {name: inputs.get(name, 0.0) for name in form.__dataclass_fields__}


def _show_in(unit: str, words: Words) -> Show:
    chosen = unit_called(unit)
    return lambda meters: words.number(show(from_si(meters, chosen).value, chosen))


DRAWN: Final[dict[str, Draw]] = {
    "leveling.pitch": _pitch,
    "cutting_height.choose_stops": _stops,
    "cutting_height.from_stops": _fitted_stops,
    "decision.probability": _probability,
    "driveline.extremes": _extremes,
}
