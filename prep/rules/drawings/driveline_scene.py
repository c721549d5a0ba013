"""Scene of a driveline picture: points in the tractor's frame, and their projection.

Tractor, tongue and gearbox are sketched only: their sizes here measure nothing.
"""

from dataclasses import dataclass
from typing import Final

from prep.rules.drawings.shapes import Point
from prep.rules.driveline.pose import Geometry, Pose, machine_joint_center, placing
from prep.rules.driveline.pose import Point as Place
from prep.rules.driveline.pose import tractor_joint_center as tractor_joint_place

STUB: Final = 0.10  # m, PTO shaft ahead of its end
TRACTOR: Final = (0.35, 0.30, 0.20)  # m, drawn depth, half width, height above the PTO
GEARBOX: Final = (0.35, 0.18)  # m, drawn depth and half width


@dataclass(frozen=True)
class Scene:
    """Everything drawn; seats lie on the line between the joints, a yoke's depth in."""

    pto_end: Place
    tractor_joint: Place
    tractor_seat: Place
    machine_seat: Place
    machine_joint: Place
    machine_axis: Place  # further back on the input shaft's axis
    input_end: Place
    hitch: Place
    tongue_end: Place  # beside the end of the input shaft
    input_behind: float  # m, hitch pin back to it, as lifted
    tractor_box: tuple[tuple[Place, ...], tuple[Place, ...]]  # outline from above, from the side
    gearbox: tuple[tuple[Place, ...], tuple[Place, ...]]

    def shown(self) -> tuple[Place, ...]:
        """All points that must fit in a view."""
        return (
            *self.tractor_box[0],
            *self.tractor_box[1],
            *self.gearbox[0],
            *self.gearbox[1],
            self.hitch,
            self.tractor_joint,
            self.machine_joint,
        )


@dataclass(frozen=True)
class View:
    """A projection: x runs from right to left, the place's `axis` (1 or 2) down, times `sign`."""

    axis: int
    sign: float
    scale: float  # mm on the sheet per m
    left: float  # mm, sheet position of x = 0
    top: float  # mm, sheet position of the axis's 0

    def point(self, place: Place) -> Point:
        """Position of a point on the sheet."""
        return (self.left - place[0] * self.scale, self.top + self.drop(place) * self.scale)

    def drop(self, place: Place) -> float:
        """How far down the sheet a place lies, in m."""
        return self.sign * place[self.axis]


def scene_of(geometry: Geometry, pose: Pose) -> Scene:
    """The scene of one pose, as measured by driveline_pose.measure."""
    place = placing(pose.turn, pose.pitch, pose.roll)
    x, y, z = machine_joint_center(geometry, pose.lift)
    start, end = tractor_joint_place(geometry), place(x, y, z)
    input_x = x - geometry.machine_joint
    yoke = geometry.yoke_depth / (pose.span + 2 * geometry.yoke_depth)
    depth, half = GEARBOX
    rear = input_x - depth
    corners = ((input_x, -half), (input_x, half), (rear, half), (rear, -half))
    return Scene(
        pto_end=(geometry.pto_ahead, 0.0, geometry.pto_height),
        tractor_joint=start,
        tractor_seat=_between(start, end, yoke),
        machine_seat=_between(start, end, 1 - yoke),
        machine_joint=end,
        machine_axis=place(input_x - depth, y, z),
        input_end=place(input_x, y, z),
        hitch=(0.0, 0.0, 0.0),
        tongue_end=place(input_x, 0.0, pose.lift),
        input_behind=-input_x,
        tractor_box=_tractor(geometry),
        gearbox=(
            tuple(place(ahead, y + side, z) for ahead, side in corners),
            tuple(place(ahead, y, z + up) for ahead, up in corners),
        ),
    )


def _tractor(geometry: Geometry) -> tuple[tuple[Place, ...], tuple[Place, ...]]:
    depth, half, above = TRACTOR
    rear, height = geometry.pto_ahead + STUB, geometry.pto_height
    front, roof, floor = rear + depth, height + above, min(0.0, height) - above / 2
    return (
        (
            (rear, -half, height),
            (rear, half, height),
            (front, half, height),
            (front, -half, height),
        ),
        ((rear, 0.0, floor), (rear, 0.0, roof), (front, 0.0, roof), (front, 0.0, floor)),
    )


def _between(start: Place, end: Place, share: float) -> Place:
    x, y, z = (a + (b - a) * share for a, b in zip(start, end, strict=True))
    return (x, y, z)
