"""Reading a usual entry against a hand-written pattern with `Decimal`: at most six times that."""

import re
from decimal import Decimal
from typing import Final

from prep.rules.entries.read import Typed, read
from tests.benchmarks.timing import best_of, table

# What technicians type all day, in their boxes.
USUAL: Final = (
    ("450 ft lb", "torque"),
    ("13.5 in", "length"),
    ("13 7/8 in", "length"),
    ("5' 3\"", "length"),
    ("230 Nm", "torque"),
    ("356 mm", "length"),
    ("35 psi", "pressure"),
    ("2,4 bar", "pressure"),
    ("3.8 L", "volume"),
    ("540 rpm", "rotation"),
)
COUNT: Final = 20
PATTERN: Final = re.compile(r"\s*(-?[0-9]+(?:[.,][0-9]+)?)\s*([^0-9\s].*?)?\s*")
UNITS: Final = {
    text.lower(): text for text in ("ft lb", "in", "Nm", "mm", "psi", "bar", "L", "rpm")
}
PLAIN: Final = [text for text, _ in USUAL if "/" not in text and "'" not in text]


def by_hand() -> None:
    """A pattern, a `Decimal` and a table of units: no fractions, no doubt, no questions."""
    for text in PLAIN * COUNT:
        match = PATTERN.fullmatch(text)
        assert match
        value, unit = Decimal(match[1].replace(",", ".")), UNITS[match[2].lower()]
        assert unit
        assert value


def by_the_reader() -> None:
    """The reader of entries, fractions and feet included."""
    for text, quantity in USUAL * COUNT:
        assert isinstance(read(text, quantity), Typed)


def main() -> None:
    """Print the ratio, per entry."""
    best = best_of({"by hand": by_hand, "by the reader": by_the_reader}, rounds=100)
    each = {
        "by hand": best["by hand"] / len(PLAIN),
        "by the reader": best["by the reader"] / len(USUAL),
    }
    print(table(each, "by hand", COUNT))


if __name__ == "__main__":
    main()
