"""Entries nobody would type: pieces of notations thrown together, and characters of any script.

`python -m tests.rules.entries.fuzzed [COUNT]` reads 200,000 where no count is given, each in every
number style; the suite reads a sample of the same kind.
"""

import random
import sys
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from prep.rules.entries import spellings
from prep.rules.entries.read import Question, Result, Typed, read
from prep.rules.quantities.quantity import QUANTITIES, Unit

WHOLE: Final = 200_000
SEED: Final = 20261129
PIECES: Final = (
    *"0123456789.,'\"/- ()+~#%°⅞½OolIx:;=×–≈?✓²³⁻¹\u00a0\u202f&±^*_",
    *("ft", "in", "lb", "Nm", "mm", "psi", "gal", "qt", "L", "°C", "m", "cm", "h", "min", "turn"),
    *(" to ", " of ", " de ", " and ", " y ", " et ", " a ", " half ", "ok", "media", "because"),
    *("1/2", "7/8", "12", "1,250", "1.250", "10^3", "e3", "not measured", "T", "po", "pi"),
)
QUANTITY_NAMES: Final = sorted(QUANTITIES)


@dataclass(frozen=True)
class Entry:
    """A text in a box, with the unit chosen beside it."""

    text: str
    quantity: str
    unit: Unit | None

    def read(self, style: bool | None) -> Result:
        """What it is taken for."""
        return read(self.text, self.quantity, decimal_comma=style, unit=self.unit)


def entries(count: int) -> Iterator[Entry]:
    """So many entries, the same ones every time."""
    dice = random.Random(SEED)
    for _ in range(count):
        quantity = dice.choice(QUANTITY_NAMES)
        make = dice.choice((_thrown_together, _of_any_script, _nearly_right))
        unit = dice.choice((None, None, dice.choice(QUANTITIES[quantity].units)))
        yield Entry(make(dice, quantity), quantity, unit)


def _thrown_together(dice: random.Random, quantity: str) -> str:
    return "".join(dice.choice(PIECES) for _ in range(dice.randint(0, 12)))


def _of_any_script(dice: random.Random, quantity: str) -> str:
    ends = (0x7F, 0x3000, 0x10FFFF)
    return "".join(chr(dice.randint(0, dice.choice(ends))) for _ in range(dice.randint(0, 20)))


def _nearly_right(dice: random.Random, quantity: str) -> str:
    known = list(spellings.SPELLINGS[quantity])
    numbers = (
        lambda: str(dice.randint(0, 99_999)),
        lambda: f"{dice.randint(0, 999)}.{dice.randint(0, 999)}",
        lambda: f"{dice.randint(0, 999)},{dice.randint(0, 999):03}",
        lambda: f"{dice.randint(0, 99)} {dice.randint(0, 16)}/{dice.choice([2, 3, 4, 8, 16])}",
        lambda: f"{dice.randint(0, 999)} {dice.randint(0, 999):03}",
    )
    return " ".join(
        f"{dice.choice(['', '-', ''])}{dice.choice(numbers)()}{dice.choice([' ', ''])}"
        f"{dice.choice(known)}{dice.choice(['', '(', ')', '/', '=', ','])}"
        for _ in range(dice.randint(1, 3))
    )


def broken(entry: Entry) -> str:
    """Which promise the reader breaks on an entry; empty if none."""
    results = {style: entry.read(style) for style in (None, True, False)}
    for style, result in results.items():
        if isinstance(result, Typed):
            parts = result.measured.value / result.written_resolution
            if parts.denominator != 1 or not 0 < result.written_resolution <= 1:
                return "a digit that nobody wrote"
            alone = results[None]
            if isinstance(alone, Typed) and alone.measured != result.measured:
                return "another meaning under another number style"
        if isinstance(result, Question):
            for choice in result.choices:
                again = Entry(choice.entry, entry.quantity, entry.unit).read(style)
                if not (isinstance(again, Typed) and again.measured == choice.measured):
                    return f"a choice that is not read as itself: {choice.entry}"
    return ""


def main() -> None:
    """Read them, and say what came of them."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else WHOLE
    came = Counter[str]()
    for entry in entries(count):
        fault = broken(entry)
        if fault:
            sys.stdout.write(f"{entry}: {fault}\n")
        came[fault or type(entry.read(None)).__name__] += 1
    sys.stdout.write(f"{dict(came)}\n")


if __name__ == "__main__":
    main()
