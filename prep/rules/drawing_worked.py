"""The picture that goes with a rule's answer, for the rules that have one."""

from collections.abc import Callable, Mapping
from typing import Any, Final

from prep.rules.cutting_height import StopChoice
from prep.rules.drawing import Drawing
from prep.rules.drawing_driveline import driveline_drawing
from prep.rules.drawing_levelling import pitch_drawing
from prep.rules.drawing_stops import stops_drawing
from prep.rules.drawing_words import Show
from prep.rules.driveline_pose import Geometry, Joints, Reach, sweep
from prep.rules.levelling import HeightFinding
from prep.rules.quantity import from_si, show
from prep.rules.quantity import unit as unit_called

Inputs = Mapping[str, Any]
Draw = Callable[[Inputs, Any, str], tuple[Drawing, ...]]


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


def _extremes(inputs: Inputs, found: Any, unit: str) -> tuple[Drawing, ...]:
    """The longest and the shortest pose: one must keep its overlap, the other its clearance."""
    geometry = Geometry(**_named(inputs, Geometry))
    wide = inputs.get("wide_angle", "none")
    joints = Joints(
        inputs.get("in_phase", True), wide in {"tractor", "both"}, wide in {"machine", "both"}
    )
    poses = sweep(geometry, Reach(**_named(inputs, Reach)), joints)
    return (
        driveline_drawing(geometry, poses.longest, f"Longest: {found.longest_pose}", unit),
        driveline_drawing(geometry, poses.shortest, f"Shortest: {found.shortest_pose}", unit),
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
    "driveline.extremes": _extremes,
}
