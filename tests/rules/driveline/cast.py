"""An invented machine behind an invented tractor, and its driveline in one pose."""

from prep.rules.driveline.pose import Geometry, Joints, Pose, measure

# An invented trailed cutter behind an invented 540 rpm tractor
CUTTER = Geometry(
    pto_ahead=0.356,
    pto_height=0.25,
    tractor_joint=0.08,
    input_behind=2.0,
    input_height=0.35,
    input_side=0.0,
    machine_joint=0.10,
    yoke_depth=0.05,
    tongue_length=2.4,
    tongue_height=-0.1,
)
EVEN = Joints()


def flat(ahead: float, behind: float, side: float = 0.0) -> Geometry:
    """Joint centers level with the hitch pivot: plane geometry."""
    return Geometry(ahead, 0.0, 0.0, behind, 0.0, side, 0.0)


def pose_of(
    geometry: Geometry,
    turn: float = 0.0,
    pitch: float = 0.0,
    lift: float = 0.0,
    roll: float = 0.0,
    joints: Joints = EVEN,
) -> Pose:
    return measure(geometry, joints, turn, pitch, lift, roll)
