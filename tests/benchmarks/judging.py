"""Reading and judging against a bare `Decimal(text)`, and re-judging many, memory flat."""

import tracemalloc
from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction

from prep.rules.conformity.judgment import DecisionRule, Interval, Verdict, judge
from prep.rules.entries.read import Typed, read
from prep.rules.quantities.quantity import UNITS, Measured
from tests.benchmarks.timing import best_of, table

TEXTS = ("450 ft lb", "13 7/8 in", '13-7/8"', "230 Nm", "356 mm")
QUANTITIES = ("torque", "length", "length", "torque", "length")
COUNT = 200  # short enough that a round fits between two interruptions
STORED = 100_000


def parse_and_judge() -> None:
    """Read and judge each text."""
    interval, rule = Interval(Fraction(0), Fraction(1000)), DecisionRule("guarded")
    for _ in range(COUNT // len(TEXTS)):
        for text, quantity in zip(TEXTS, QUANTITIES, strict=True):
            found = read(text, quantity)
            assert isinstance(found, Typed)
            judge(found.measured.canonical(), interval, rule, Fraction(1, 2))


def stored(count: int) -> Iterator[tuple[str, str]]:
    """Value and unit of stored readings, one after the other."""
    for number in range(count):
        yield f"{400 + number % 100}.{number % 10}", "ft·lbf"


def rejudge(count: int) -> int:
    """How many stored readings do not conform under a changed limit."""
    interval, rule = Interval(Fraction(580), Fraction(640)), DecisionRule("guarded")
    fallen = 0
    for text, unit in stored(count):
        value = Measured(Fraction(text), UNITS[unit]).canonical()
        fallen += judge(value, interval, rule, Fraction(6)).verdict is not Verdict.CONFORMING
    return fallen


def main() -> None:
    """Print the ratios and the peaks."""
    best = best_of(
        {
            "Decimal(text)": lambda: [Decimal("450") for _ in range(COUNT)],
            "read and judge": parse_and_judge,
            "judge a stored reading again": lambda: rejudge(COUNT),
        },
        rounds=100,
    )
    print(table(best, "Decimal(text)", COUNT))
    for count in (STORED // 10, STORED):
        tracemalloc.start()
        rejudge(count)
        peak = tracemalloc.get_traced_memory()[1]
        tracemalloc.stop()
        print(f"re-judging {count:>7}: peak {peak / 1024:.0f} KiB")


if __name__ == "__main__":
    main()
