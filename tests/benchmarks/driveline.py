"""Sweeping a driveline over ten thousand poses, against the bare matrix products it stands for."""

import math

from prep.rules.driveline.pose import Geometry, Joints, Reach, sweep
from tests.benchmarks.timing import best_of, table

# An invented trailed cutter behind an invented tractor, moving in every way it can.
CUTTER = Geometry(0.356, 0.25, 0.08, 2.0, 0.35, 0.0, 0.10, 0.05, 2.4, -0.1)
REACH = Reach(turn=math.radians(60), crest=0.2, hollow=0.2, lift=0.3, roll=0.1)

Matrix = tuple[tuple[float, float, float], ...]
TURN: Matrix = ((0.8, 0.6, 0.0), (-0.6, 0.8, 0.0), (0.0, 0.0, 1.0))
PITCH: Matrix = ((0.96, 0.0, 0.28), (0.0, 1.0, 0.0), (-0.28, 0.0, 0.96))


def product(first: Matrix, second: Matrix) -> Matrix:
    """Product of two rotations, written out the plain way."""
    return tuple(
        (
            row[0] * second[0][0] + row[1] * second[1][0] + row[2] * second[2][0],
            row[0] * second[0][1] + row[1] * second[1][1] + row[2] * second[2][1],
            row[0] * second[0][2] + row[1] * second[1][2] + row[2] * second[2][2],
        )
        for row in first
    )


def products(count: int) -> None:
    """Turn, pitch and roll put together once a pose: two products each."""
    for _ in range(count):
        product(product(TURN, PITCH), TURN)


def main() -> None:
    """Print the ratio."""
    count = sweep(CUTTER, REACH, Joints()).count
    best = best_of(
        {
            "two matrix products a pose": lambda: products(count),
            "sweep: span, angles, unevenness": lambda: sweep(CUTTER, REACH, Joints()),
        },
        rounds=15,
    )
    print(f"{count} poses")
    print(table(best, "two matrix products a pose", count))


if __name__ == "__main__":
    main()
