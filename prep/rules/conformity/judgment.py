"""Conformity of a reading with its limits: the decision rules, exact at each limit.

House statement. Value, limits and expanded uncertainty are given as fractions in one and the same
unit, so no rounding of a converted number moves a verdict, and the verdict is the same in every
unit. The ends belong to the interval: "at most 1/2 inch" accepts 1/2 inch. A guard band follows
from the uncertainty at its limit, whatever was read, so that it is known before anything is
measured. Only the conformance probability is a float; the one decision it takes is whether an
instrument can decide at all.

Source: JCGM 106:2012 (conformance probability, guard bands), ILAC-G8:09/2019 (the four states),
ISO 14253-1:2017 (guard factor 0.83).
"""

import math
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from typing import Any, Final, Literal

from prep.rules.conformity.normal import cumulative, quantile

_FAR: Final = 40  # standard uncertainties; beyond it the normal distribution is 0 or 1 in a float
_BISECTIONS: Final = 60  # halves the half-width down to the last bit of a float


class Verdict(StrEnum):
    """What the rules say of a reading; the words stand in `prep.words.verdicts`."""

    CONFORMING = "conforming"
    CONFORMING_GUARD = "conforming-guarded"
    NONCONFORMING_GUARD = "nonconforming-guarded"
    NONCONFORMING = "nonconforming"
    NO_LIMIT = "no-limit"
    NOT_MEASURED = "not-measured"


class CheckAnswer(StrEnum):
    """The answer to a check, which is not measured and so has no verdict of the rules."""

    YES = "answered-yes"
    NO = "answered-no"


class SettingAnswer(StrEnum):
    """What is found of fasteners gone over with a tool that clicks; nothing was measured there.

    `near-limit` is a setting that the tool's uncertainty lets nobody be sure of.
    """

    IN_LIMIT = "setting-in-limit"
    NEAR_LIMIT = "setting-near-limit"
    OUT_OF_LIMIT = "setting-out-of-limit"
    NO_LIMIT = "setting-without-limit"
    MOVED = "fasteners-moved"
    LEFT_OUT = "fasteners-left-out"


@dataclass(frozen=True)
class Interval:
    """Limits of one quantity in one unit; the ends belong to it, None is an open side."""

    low: Fraction | None
    high: Fraction | None

    def __post_init__(self) -> None:
        if self.low is None and self.high is None:
            raise ValueError("An interval needs a lower or an upper limit.")
        if self.low is not None and self.high is not None and self.low > self.high:
            raise ValueError(
                f"The lower limit {float(self.low):g} is above the upper limit "
                f"{float(self.high):g}. Exchange them."
            )

    def __contains__(self, value: Fraction) -> bool:
        return self.distance(value) == 0

    def distance(self, value: Fraction) -> Fraction:
        """How far a value lies outside; 0 when it belongs to the interval."""
        if self.low is not None and value < self.low:
            return self.low - value
        if self.high is not None and value > self.high:
            return value - self.high
        return Fraction(0)

    def narrowed(self, by: "AtLimits") -> "Interval | None":
        """The interval with each limit moved inwards by its length; None when nothing is left."""
        low = None if self.low is None else self.low + by.low
        high = None if self.high is None else self.high - by.high
        if low is not None and high is not None and low > high:
            return None
        return Interval(low, high)


@dataclass(frozen=True)
class AtLimits:
    """A length at each limit of an interval: an expanded uncertainty, or a guard band.

    Where the interval is open on a side, the length there says nothing.
    """

    low: Fraction
    high: Fraction

    @classmethod
    def same(cls, length: Fraction) -> "AtLimits":
        """The same length at both limits."""
        return cls(length, length)

    @property
    def widest(self) -> Fraction:
        """The longer of the two."""
        return max(self.low, self.high)


@dataclass(frozen=True)
class DecisionRule:
    """How uncertainty enters the decision, agreed before anything is measured.

    `simple` decides at the limit itself. `guarded` sets a guard band w = guard · U inside each
    limit: 0.83 keeps the risk at the edge below 5 % (ISO 14253-1:2017), 1 below 2.5 %
    (ILAC-G8:2009).
    """

    kind: Literal["simple", "guarded"]
    guard: Fraction = Fraction(83, 100)

    def __post_init__(self) -> None:
        if self.guard < 0:
            raise ValueError("The guard factor must be 0 or more.")

    def guard_band(self, expanded_uncertainty: Fraction) -> Fraction:
        """Length w of the guard band where the expanded uncertainty is this, in its unit."""
        return self.guard * expanded_uncertainty if self.kind == "guarded" else Fraction(0)

    def guard_bands(self, at_limits: AtLimits) -> AtLimits:
        """The guard band of each limit, from the expanded uncertainty there."""
        return AtLimits(self.guard_band(at_limits.low), self.guard_band(at_limits.high))


@dataclass(frozen=True)
class Judgment:
    """A verdict with its conformance probability and the guard bands it used.

    Not `decidable`: this instrument cannot decide, its uncertainty is too large for the limits.
    """

    verdict: Verdict
    probability: float
    decidable: bool
    interval: Interval
    guard_bands: AtLimits

    @property
    def acceptance(self) -> Interval | None:
        """Readings called conforming; None when no reading of this instrument can be."""
        return self.interval.narrowed(self.guard_bands) if self.decidable else None


def judge(
    value: Fraction,
    interval: Interval,
    rule: DecisionRule,
    expanded_uncertainty: Fraction,
    at_limits: AtLimits | None = None,
) -> Judgment:
    """Verdict on a reading against its limits under a decision rule.

    All numbers in one unit; uncertainties expanded with k = 2. `expanded_uncertainty` is that of
    the reading, for the probability; `at_limits` those at the limits, for the guard bands, where
    they differ. Under the guarded rule a value exactly on the acceptance limit is conforming, one
    exactly on the limit is conforming inside the guard band, and one exactly w outside is still
    inside the guard band (ILAC-G8:09/2019, non-binary statement with guard band).
    """
    at_limits = at_limits or AtLimits.same(expanded_uncertainty)
    for length in (expanded_uncertainty, at_limits.low, at_limits.high):
        _refuse_negative(length)
    bands = rule.guard_bands(at_limits)
    reading, low, high, low_band, high_band, spread, widest = _whole(
        (
            value,
            interval.low,
            interval.high,
            bands.low,
            bands.high,
            expanded_uncertainty,
            at_limits.widest,
        )
    )
    above_low = None if low is None else reading - low
    below_high = None if high is None else high - reading
    decidable = (
        low is None or high is None or _decides(high - low, low_band + high_band, widest, rule)
    )
    rooms = [
        (room, band)
        for room, band in ((above_low, low_band), (below_high, high_band))
        if room is not None
    ]
    verdict = _verdict(rooms, decidable)
    probability = _probability(above_low, below_high, spread)
    return Judgment(verdict, probability, decidable, interval, bands)


def _verdict(rooms: list[tuple[int, int]], decidable: bool) -> Verdict:
    """The state of a reading with this room to each limit, and that limit's guard band."""
    if any(room < -band for room, band in rooms):
        return Verdict.NONCONFORMING
    if any(room < 0 for room, _ in rooms):
        return Verdict.NONCONFORMING_GUARD
    if not decidable or any(room < band for room, band in rooms):
        return Verdict.CONFORMING_GUARD
    return Verdict.CONFORMING


def conformance_probability(value: Fraction, interval: Interval, uncertainty: Fraction) -> float:
    """Probability that the true value lies in the interval, for a standard uncertainty.

    A normal state of knowledge about the value (JCGM 106:2012, 7.3 and 7.4). Without uncertainty
    it is a step: 1 inside, ends included, and 0 outside.
    """
    _refuse_negative(uncertainty)
    reading, low, high, spread = _whole((value, interval.low, interval.high, 2 * uncertainty))
    return _probability(
        None if low is None else reading - low, None if high is None else high - reading, spread
    )


def exact_acceptance(interval: Interval, uncertainty: Fraction, target: float) -> Interval | None:
    """Readings whose conformance probability reaches `target`; None when no reading does.

    `uncertainty` is the standard uncertainty in the unit of the limits, `target` from 0.5 to
    below 1. Between two close limits this interval is narrower than one-sided guard bands make
    it, because the true value may lie beyond the far limit too (from JCGM 106:2012, 7.4).
    """
    _refuse_negative(uncertainty)
    if not 0.5 <= target < 1:
        raise ValueError("The wanted conformance probability must be from 0.5 to below 1.")
    if uncertainty == 0:
        return interval
    one_sided = Fraction(quantile(target)) * uncertainty
    if interval.low is None or interval.high is None:
        return interval.narrowed(AtLimits.same(one_sided))
    half_width = (interval.high - interval.low) / 2
    if half_width > _FAR * uncertainty:
        return interval.narrowed(AtLimits.same(one_sided))
    reach = _reach(float(half_width / uncertainty), target)
    if reach is None:
        return None
    return interval.narrowed(AtLimits.same(half_width - Fraction(reach) * uncertainty))


def _reach(half_width: float, target: float) -> float | None:
    """Largest distance from the middle that keeps the target, in standard uncertainties."""

    def probability(offset: float) -> float:
        return cumulative(half_width - offset) - cumulative(-half_width - offset)

    if probability(0.0) < target:
        return None
    reached, missed = 0.0, half_width
    for _ in range(_BISECTIONS):
        offset = (reached + missed) / 2
        if probability(offset) >= target:
            reached = offset
        else:
            missed = offset
    return reached


def _whole(numbers: tuple[Fraction | None, ...]) -> list[Any]:
    """The same numbers counted in a unit that makes them all whole: exact, and many times faster.

    What is None stays None.
    """
    scale = math.lcm(*[each.denominator for each in numbers if each is not None])
    return [
        None if each is None else each.numerator * (scale // each.denominator) for each in numbers
    ]


def _decides(width: int, bands: int, spread: int, rule: DecisionRule) -> bool:
    """Whether a reading in the middle of two limits keeps what the rule promises at one."""
    if bands > width:
        return False
    if rule.kind == "simple" or spread == 0:
        return True
    return 2 * cumulative(_deviations(width, spread) / 2) - 1 >= cumulative(2 * float(rule.guard))


def _probability(above_low: int | None, below_high: int | None, spread: int) -> float:
    """Share of the normal distribution between limits so far off; `spread` is two deviations."""
    if spread == 0:
        return float(all(room is None or room >= 0 for room in (above_low, below_high)))
    beyond_low = 0.0 if above_low is None else cumulative(-_deviations(above_low, spread))
    to_high = 1.0 if below_high is None else cumulative(_deviations(below_high, spread))
    return to_high - beyond_low


def _deviations(length: int, spread: int) -> float:
    """A length in standard deviations, of which `spread` is two."""
    try:
        return 2 * length / spread
    except OverflowError:
        return math.inf if length > 0 else -math.inf


def _refuse_negative(uncertainty: Fraction) -> None:
    if uncertainty < 0:
        raise ValueError("An uncertainty must be 0 or more.")
