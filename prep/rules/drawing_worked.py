"""The picture that goes with a rule's answer, for the rules that have one."""

from collections.abc import Callable, Mapping
from typing import Any, Final

from prep.rules.cutting_height import StopChoice, choose_stops, stack_of
from prep.rules.drawing import Drawing
from prep.rules.drawing_driveline import Halves, driveline_drawing
from prep.rules.drawing_levelling import pitch_drawing, wing_drawing
from prep.rules.drawing_stops import stops_drawing
from prep.rules.drawing_words import Show
from prep.rules.driveline_pose import Geometry, Joints, Reach, sweep
from prep.rules.levelling import HeightFinding, wing
from prep.rules.quantity import from_si, show
from prep.rules.quantity import unit as unit_called

Inputs = Mapping[str, Any]
Draw = Callable[[Inputs, Any, str], tuple[Drawing, ...]]

WING: Final = "levelling.wing"  # a picture takes two answers of it, see `wings`
FREE_ROD: Final = 1.6  # of the stack's length the rod is drawn where its own is not known


def drawings(rule: str, inputs: Inputs, result: Any, length_unit: str) -> tuple[Drawing, ...]:
    """Pictures of an answer, lengths in the unit called `length_unit`; none for most rules.

    `inputs` in SI, as the rule was called.
    """
    draw = DRAWN.get(rule)
    return draw(inputs, result, length_unit) if draw else ()


def _pitch(inputs: Inputs, found: HeightFinding, unit: str) -> tuple[Drawing, ...]:
    front, rear = inputs["front"], inputs["rear"]
    window = inputs["least_lower"], inputs["most_lower"]
    return (pitch_drawing(front, rear, *window, found, _said_in(unit)),)


def _stops(inputs: Inputs, choice: StopChoice, unit: str) -> tuple[Drawing, ...]:
    thicknesses = tuple(inputs["thicknesses"])
    space = inputs["rod_space"]
    return (stops_drawing(inputs["wanted"], choice, thicknesses, space, _said_in(unit)),)


def _fitted_stops(inputs: Inputs, height: float, unit: str) -> tuple[Drawing, ...]:
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
    return (stops_drawing(height, choice, thicknesses, FREE_ROD * stack, _said_in(unit)),)


def wings(left: Inputs, right: Inputs, unit: str) -> Drawing:
    """Both wings against the centre, from the inputs of levelling.wing for each."""
    return wing_drawing(
        left["centre"],
        left["wing"],
        right["wing"],
        left["tolerance"],
        (wing(**left), wing(**right)),
        _said_in(unit),
    )


def _extremes(inputs: Inputs, found: Any, unit: str) -> tuple[Drawing, ...]:
    """The longest and the shortest pose: one must keep its overlap, the other its clearance.

    Both are stated where the inputs also hold the halves as measured, `outer` and `inner`.
    """
    geometry = Geometry(**_named(inputs, Geometry))
    wide = inputs.get("wide_angle", "none")
    joints = Joints(
        inputs.get("in_phase", True), wide in {"tractor", "both"}, wide in {"machine", "both"}
    )
    poses = sweep(geometry, Reach(**_named(inputs, Reach)), joints)
    halves = Halves(inputs["outer"], inputs["inner"]) if "outer" in inputs else None
    return (
        driveline_drawing(geometry, poses.longest, f"Longest: {found.longest_pose}", unit, halves),
        driveline_drawing(
            geometry, poses.shortest, f"Shortest: {found.shortest_pose}", unit, halves
        ),
    )


def _named(inputs: Inputs, form: type[Any]) -> dict[str, float]:
    """The inputs a dataclass takes by the same names; what is not given is 0."""
    return {name: inputs.get(name, 0.0) for name in form.__dataclass_fields__}


def _said_in(unit: str) -> Show:
    chosen = unit_called(unit)
    return lambda metres: show(from_si(metres, chosen).value, chosen)


DRAWN: Final[dict[str, Draw]] = {
    "levelling.pitch": _pitch,
    "cutting_height.choose_stops": _stops,
    "cutting_height.from_stops": _fitted_stops,
    "driveline.extremes": _extremes,
}
