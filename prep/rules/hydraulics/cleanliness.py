"""Cleanliness of hydraulic oil by ISO 4406: three numbers for particles of 4, 6 and 14 um(c)."""

import re
from bisect import bisect_left
from dataclasses import dataclass
from typing import Annotated, Final, Literal

from prep.rules.catalog.catalog import In, RuleRefusal, Unit, rule

Count = Annotated[float, In("1/m^3", 0.0, 2.5e12)]
ScaleNumbers = Annotated[tuple[float, ...], In("1", 0.0, 28.0)]

PER_MILLILITER: Final = 1e6  # particles/m^3 in one particle/mL

# Upper limits of scale numbers 0 to 28, particles/mL. The printed break points are kept, not
# 0.01 x 2^N: 18 ends at 2500, not at 2621. Printed rows seen: 10 to 26; the rest continue the
# same sequence, value from memory.
UPPER: Final = (
    *(0.01, 0.02, 0.04, 0.08, 0.16, 0.32, 0.64, 1.3, 2.5, 5.0),
    *(10.0, 20.0, 40.0, 80.0, 160.0, 320.0, 640.0, 1300.0, 2500.0, 5000.0),
    *(1e4, 2e4, 4e4, 8e4, 1.6e5, 3.2e5, 6.4e5, 1.3e6, 2.5e6),
)


@dataclass(frozen=True)
class Range:
    """Particles one scale number stands for: more than `least`, up to and including `most`."""

    least: Annotated[float, Unit("1/m^3")]
    most: Annotated[float, Unit("1/m^3")]


@dataclass(frozen=True)
class CodeRanges:
    """What a code says about each size."""

    at_4_um: Range
    at_6_um: Range
    at_14_um: Range


@dataclass(frozen=True)
class Code:
    """A code as it is printed, such as 19/16/13."""

    code: str


@dataclass(frozen=True)
class CodeFinding:
    """A measured code against the dirtiest allowed one; each excess is in scale numbers."""

    finding: Literal["clean-enough", "dirtier"]
    excess_4_um: Annotated[float, Unit("1")]
    excess_6_um: Annotated[float, Unit("1")]
    excess_14_um: Annotated[float, Unit("1")]


def scale_number(per_milliliter: float) -> int:
    """Scale number of a count of particles per mL, up to 2.5 million."""
    return bisect_left(UPPER, round(per_milliliter, 9))


def read_code(text: str) -> tuple[int, ...]:
    """Three scale numbers from text such as `19/16/13`, or RuleRefusal on `code`."""
    match = re.fullmatch(r"(\d{1,2})/(\d{1,2})/(\d{1,2})", re.sub(r"\s", "", text))
    if not match:
        raise RuleRefusal("code", "not-a-cleanliness-code")
    return checked_code("code", tuple(int(number) for number in match.groups()))


def checked_code(field: str, numbers: tuple[float, ...]) -> tuple[int, ...]:
    """The numbers when they can be an ISO 4406 code, or RuleRefusal on `field`."""
    if len(numbers) != 3 or any(number != int(number) for number in numbers):
        raise RuleRefusal(field, "not-a-cleanliness-code")
    if max(numbers) >= len(UPPER):
        raise RuleRefusal(field, "scale-number-too-large", most=len(UPPER) - 1)
    if not numbers[0] >= numbers[1] >= numbers[2]:
        raise RuleRefusal(field, "cleanliness-code-rises")
    return tuple(int(number) for number in numbers)


@rule("cleanliness.code_from_counts")
def code_from_counts(
    at_4_um: Count,
    at_6_um: Count,
    at_14_um: Count,
) -> Code:
    """ISO 4406 code of a particle count.

    Inputs:
        at_4_um: 1/m^3, 0 to 2.5e+12. Particles of 4 um(c) and larger; one per mL is 1e6 per m^3.
        at_6_um: 1/m^3, 0 to 2.5e+12. Particles of 6 um(c) and larger.
        at_14_um: 1/m^3, 0 to 2.5e+12. Particles of 14 um(c) and larger.
    Result: the code.
    Formula: for each size the first printed upper limit the count does not pass.
    Source: ISO 4406 as restated in a filtration handbook.
    Example: 5000, 640 and 80 per mL -> 19/16/13.

        >>> code_from_counts(5000e6, 640e6, 80e6).code
        '19/16/13'
    """
    for field, larger, smaller in (
        ("at_6_um", at_6_um, at_4_um),
        ("at_14_um", at_14_um, at_6_um),
    ):
        if larger > smaller:
            raise RuleRefusal(field, "particle-counts-rise")
    counts = (at_4_um, at_6_um, at_14_um)
    return Code("/".join(str(scale_number(count / PER_MILLILITER)) for count in counts))


@rule("cleanliness.counts_from_code")
def counts_from_code(code: ScaleNumbers) -> CodeRanges:
    """Particle counts an ISO 4406 code stands for.

    Inputs:
        code: 1, 0 to 28. The three scale numbers, for 4, 6 and 14 um(c).
    Result: 1/m^3, more than the first and up to the second, for each size.
    Formula: the printed limits of each scale number.
    Source: ISO 4406 as restated in a filtration handbook.
    Example: 19/16/13 -> 2500 to 5000 / 320 to 640 / 40 to 80 per mL.

        >>> c = counts_from_code((19, 16, 13))
        >>> [(r.least / 1e6, r.most / 1e6) for r in (c.at_4_um, c.at_6_um, c.at_14_um)]
        [(2500.0, 5000.0), (320.0, 640.0), (40.0, 80.0)]
    """
    return CodeRanges(*(_range(number) for number in checked_code("code", code)))


@rule("cleanliness.compare")
def compare(measured: ScaleNumbers, dirtiest: ScaleNumbers) -> CodeFinding:
    """A measured ISO 4406 code against the dirtiest one allowed.

    Inputs:
        measured: 1, 0 to 28. The three scale numbers of the sample.
        dirtiest: 1, 0 to 28. The three scale numbers the manufacturer allows.
    Result: clean enough or dirtier, and 1 the scale numbers too many for each size.
    Formula: measured less allowed for each size; none may be above zero.
    Source: ISO 4406 as restated in a filtration handbook.
    Example: 18/16/14 where 19/16/13 is allowed -> dirtier, by one at 14 um.

        >>> compare((18, 16, 14), (19, 16, 13))
        CodeFinding(finding='dirtier', excess_4_um=-1, excess_6_um=0, excess_14_um=1)
    """
    pairs = zip(checked_code("measured", measured), checked_code("dirtiest", dirtiest), strict=True)
    excess = [have - allowed for have, allowed in pairs]
    return CodeFinding("dirtier" if max(excess) > 0 else "clean-enough", *excess)


def _range(number: int) -> Range:
    least = UPPER[number - 1] if number else 0.0
    return Range(least * PER_MILLILITER, UPPER[number] * PER_MILLILITER)
