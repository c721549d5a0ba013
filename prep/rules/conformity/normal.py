"""Standard normal distribution: its cumulative probability and its quantile."""

import math
from statistics import NormalDist
from typing import Final

_STANDARD: Final = NormalDist()


def quantile(probability: float) -> float:
    """Deviation below which a value lies with this probability."""
    return _STANDARD.inv_cdf(probability)


def cumulative(deviation: float) -> float:
    """Probability of a value below this many standard deviations.

    By the complementary error function, because `NormalDist.cdf` adds 1 to an error function near
    -1: it has ten digits left at -6, and answers 0 below -8.3.
    """
    return math.erfc(-deviation * math.sqrt(0.5)) / 2
