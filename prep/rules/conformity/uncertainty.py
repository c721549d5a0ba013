"""Measurement uncertainty: components, combination and expansion.

Every number here is in the unit of the reading, whichever that is, and so is the result; "1" in
the declarations means just that. The components are independent standard uncertainties. Readings
in degrees are differences of temperature as far as uncertainty goes.

Source: JCGM 100:2008 (the GUM).
"""

import math
from fractions import Fraction
from typing import Annotated, Final

from prep.rules.catalog.catalog import In, RuleRefusal, Unit, rule

Length = Annotated[float, In("1", 0.0, 1e12)]
Lengths = Annotated[tuple[float, ...], In("1", 0.0, 1e12)]
Percent = Annotated[float, In("%", 0.0, 100.0)]
Uncertainty = Annotated[float, Unit("1")]

MAX_DEGREES_OF_FREEDOM = 1e9  # as good as certain
UNCERTAINTY_DIGITS: Final = 4  # of an instrument's uncertainty; two more than anybody is shown


@rule("uncertainty.rectangular")
def rectangular(half_width: Length) -> Uncertainty:
    """Standard uncertainty of a rectangular distribution within ±a.

    Inputs:
        half_width: 1, 0 to 1e12. The a of ±a, as in a stated accuracy.
    Result: 1.
    Formula: u = a / sqrt(3).
    Source: JCGM 100:2008, 4.3.7.
    Example: a = 0.5 -> 0.288675 (arithmetic of the clause).

        >>> round(rectangular(0.5), 6)
        0.288675
    """
    return half_width / math.sqrt(3)


@rule("uncertainty.triangular")
def triangular(half_width: Length) -> Uncertainty:
    """Standard uncertainty of a triangular distribution within ±a.

    Inputs:
        half_width: 1, 0 to 1e12. The a of ±a.
    Result: 1.
    Formula: u = a / sqrt(6).
    Source: JCGM 100:2008, 4.3.9.
    Example: a = 0.5 -> 0.204124 (arithmetic of the clause).

        >>> round(triangular(0.5), 6)
        0.204124
    """
    return half_width / math.sqrt(6)


@rule("uncertainty.u_shaped")
def u_shaped(half_width: Length) -> Uncertainty:
    """Standard uncertainty of a U-shaped (arcsine) distribution between -a and +a.

    Inputs:
        half_width: 1, 0 to 1e12. The a of ±a, as for a room whose heating cycles.
    Result: 1.
    Formula: u = a / sqrt(2).
    Source: JCGM 100:2008, H.1.3.4 (arcsine distribution).
    Example: a = 0.5 -> 0.353553 (arithmetic of the clause).

        >>> round(u_shaped(0.5), 6)
        0.353553
    """
    return half_width / math.sqrt(2)


@rule("uncertainty.resolution")
def resolution(step: Length) -> Uncertainty:
    """Standard uncertainty from the resolution of a display.

    Inputs:
        step: 1, 0 to 1e12. One digit of the last place, or one division of a scale.
    Result: 1.
    Formula: u = d / (2 sqrt(3)).
    Source: JCGM 100:2008, F.2.2.1.
    Example: d = 0.01 -> 0.0029 (0.29 d).

        >>> round(resolution(0.01), 8)
        0.00288675
    """
    return step / (2 * math.sqrt(3))


@rule("uncertainty.certificate")
def certificate(
    expanded_uncertainty: Length,
    coverage: Annotated[float, In("1", 1.0, 10.0)] = 2.0,
) -> Uncertainty:
    """Standard uncertainty from a calibration certificate.

    Inputs:
        expanded_uncertainty: 1, 0 to 1e12. The U printed on the certificate.
        coverage: 1, 1 to 10. The k printed beside it; 2 when nothing else is printed.
    Result: 1.
    Formula: u = U / k.
    Source: JCGM 100:2008, 4.3.3.
    Example: U = 240 ug at three standard deviations -> 80 ug.

        >>> certificate(240.0, 3.0)
        80.0
    """
    return expanded_uncertainty / coverage


@rule("uncertainty.combined")
def combined(components: Lengths) -> Uncertainty:
    """Combined standard uncertainty of independent components.

    Inputs:
        components: 1, 0 to 1e12. Each component times its sensitivity, in the result's unit.
    Result: 1.
    Formula: uc = sqrt(sum of squares).
    Source: JCGM 100:2008, 5.1.2; NIST TN 1297, appendix D.
    Example: 25, 5.8, 3.9, 6.7, 1.7, 5.8, 10.2, 2.9 and 16.6 nm -> 34 nm.

        >>> round(combined((25.0, 5.8, 3.9, 6.7, 1.7, 5.8, 10.2, 2.9, 16.6)))
        34
    """
    return math.hypot(*components)


@rule("uncertainty.degrees_of_freedom")
def degrees_of_freedom(
    components: Lengths,
    freedoms: Annotated[tuple[float, ...], In("1", 1.0, MAX_DEGREES_OF_FREEDOM)],
) -> Annotated[float, Unit("1")]:
    """Effective degrees of freedom of a combined uncertainty, truncated to an integer.

    Inputs:
        components: 1, 0 to 1e12. Each component times its sensitivity, in the result's unit.
        freedoms: 1, 1 to 1e9. Degrees of freedom of each component, in the same order.
    Result: 1.
    Formula: uc^4 / sum(u^4 / v), truncated (Welch-Satterthwaite).
    Source: JCGM 100:2008, G.4.1 and H.1.6.
    Example: 25, 9.7, 2.9, 16.6 nm with 18, 25.6, 50, 2 -> 16.

        >>> degrees_of_freedom((25.0, 9.7, 2.9, 16.6), (18.0, 25.6, 50.0, 2.0))
        16.0
    """
    if len(components) != len(freedoms):
        raise RuleRefusal(
            "freedoms", "freedoms-differ", components=len(components), freedoms=len(freedoms)
        )
    squares = [Fraction(component) ** 2 for component in components]
    spread = sum(
        square**2 / Fraction(freedom) for square, freedom in zip(squares, freedoms, strict=True)
    )
    if spread == 0:
        raise RuleRefusal("components", "no-component")
    return float(math.floor(sum(squares) ** 2 / spread))


@rule("uncertainty.expanded")
def expanded(
    standard_uncertainty: Length,
    coverage: Annotated[float, In("1", 1.0, 10.0)] = 2.0,
) -> Uncertainty:
    """Expanded uncertainty.

    Inputs:
        standard_uncertainty: 1, 0 to 1e12. The combined one.
        coverage: 1, 1 to 10. k; 2 covers about 95 %.
    Result: 1.
    Formula: U = k uc.
    Source: JCGM 100:2008, 6.2.1 and H.1.6.
    Example: uc = 32 nm, k = 2.92 -> 93 nm.

        >>> round(expanded(32.0, 2.92))
        93
    """
    return coverage * standard_uncertainty


@rule("uncertainty.instrument")
def instrument_uncertainty(
    reading: Annotated[float, In("1", -1e12, 1e12)],
    percent_of_reading: Percent = 0.0,
    percent_of_scale: Percent = 0.0,
    scale: Length = 0.0,
    absolute: Length = 0.0,
    resolution: Length = 0.0,
    certificate_u: Length = 0.0,
) -> Uncertainty:
    """Expanded uncertainty (k = 2) of one reading of an instrument.

    Inputs:
        reading: 1, -1e12 to 1e12. The value read.
        percent_of_reading: %, 0 to 100. Accuracy stated as a share of the reading.
        percent_of_scale: %, 0 to 100. Accuracy stated as a share of full scale.
        scale: 1, 0 to 1e12. Full scale; needed with a share of it.
        absolute: 1, 0 to 1e12. Accuracy stated as an amount.
        resolution: 1, 0 to 1e12. One digit of the last place, or one division.
        certificate_u: 1, 0 to 1e12. Expanded uncertainty (k = 2) of the last calibration.
    Result: 1.
    Formula: a = sum of the stated accuracies; U = 2 sqrt(a^2/3 + d^2/12 + (Uc/2)^2).
    Source: JCGM 100:2008, 4.3.3, 4.3.7, F.2.2.1 and 5.1.2; parts of one accuracy statement add
        up because all may be at their limit at once.
    Example: accuracy ±0.5, resolution 0.1, certificate U = 0.3 -> 0.653197 (arithmetic).

        >>> round(instrument_uncertainty(20.0, absolute=0.5, resolution=0.1, certificate_u=0.3), 6)
        0.653197
    """
    if percent_of_scale and not scale:
        raise RuleRefusal("scale", "scale-missing")
    half_width = absolute + (percent_of_reading * abs(reading) + percent_of_scale * scale) / 100
    return 2 * math.hypot(half_width / math.sqrt(3), resolution / math.sqrt(12), certificate_u / 2)


def expanded_squared(half_width: Fraction, resolution: Fraction) -> Fraction:
    """Square of the expanded uncertainty (k = 2) of an instrument, exact.

    `half_width` is the sum of its stated accuracies, `resolution` one digit of its last place; the
    formula is that of `instrument_uncertainty`.
    """
    return 4 * (half_width**2 / 3 + resolution**2 / 12)


def root_rounded_up(square: Fraction, digits: int = UNCERTAINTY_DIGITS) -> Fraction:
    """Square root of a fraction, rounded up once to so many significant digits.

    Whole numbers only, so that every device finds the same digits. An uncertainty may be rounded
    up, never down (JCGM 100:2008, 7.2.6).
    """
    if square <= 0:
        return Fraction(0)
    quantum = Fraction(10) ** (_power_of_ten(square) // 2 - digits + 1)
    units = square / quantum**2
    return (math.isqrt(math.ceil(units) - 1) + 1) * quantum


def _power_of_ten(value: Fraction) -> int:
    """The power of ten of a positive value's first digit: 0 for 1 to 9, -1 for 0.1."""
    guess = len(str(value.numerator)) - len(str(value.denominator))
    return guess if value >= Fraction(10) ** guess else guess - 1
