"""Charge of a 12 V flooded battery at rest."""

from typing import Annotated, Final

from prep.rules.catalog.catalog import In, RuleRefusal, Unit, rule
from prep.rules.phrase import Amount

# Industry-association figures at 26.7 °C: share of full charge, volts, specific gravity. Beyond its
# ends a battery is full or empty: new ones rest at up to 12.8 V, and acid is filled up to 1.30.
CHARGE: Final = (
    (0.00, 11.89, 1.120),
    (0.25, 12.06, 1.155),
    (0.50, 12.24, 1.190),
    (0.75, 12.45, 1.225),
    (1.00, 12.65, 1.265),
)
REFERENCE: Final = 80 / 1.8 + 459.67 / 1.8  # K, 80 °F
LIGHTEST, HEAVIEST = 1.05, 1.30  # acid that has turned to water, and more than any is filled with
GRAVITY_PER_KELVIN: Final = 0.004 / (10 / 1.8)  # 0.004 for each 10 °F


@rule("battery.charge_by_voltage")
def charge_by_voltage(
    voltage: Annotated[float, In("V", 10.5, 12.9)],
) -> Annotated[float, Unit("1")]:
    """State of charge of a rested 12 V flooded battery by its voltage.

    Inputs:
        voltage: V, 10.5 to 12.9. At the posts after 6 to 8 hours of rest, near 27 degC. Less is
            a dead cell; more is being charged or has not rested.
    Result: 1, share of full charge.
    Formula: straight line between the rows of the table; full from its last row on, empty up to
        its first.
    Source: industry-association table; another published table differs by up to 0.09 V. Least and
        most voltage: common practice, no published source.
    Example: 12.45 V -> 75 %.

        >>> charge_by_voltage(12.45)
        0.75
    """
    return _share(voltage, 1)


@rule("battery.charge_by_gravity")
def charge_by_gravity(
    gravity: Annotated[float, In("1", 1.0, 1.35)],
    temperature: Annotated[float, In("K", 250.0, 330.0)] = REFERENCE,
) -> Annotated[float, Unit("1")]:
    """State of charge of a 12 V flooded battery by the gravity of its acid.

    Inputs:
        gravity: 1, 1 to 1.35. Hydrometer reading as seen.
        temperature: K, 250 to 330. Of the acid; 80 degF needs no correction.
    Result: 1, share of full charge.
    Formula: gravity + 0.004 for each 10 degF above 80 degF, less below; then the table: full from
        its last row up to 1.30, empty from 1.05 up to its first.
    Source: industry-association table; correction in two public sources. 1.05 and 1.30: common
        practice, no published source.
    Example: 1.225 at 80 degF -> 75 %.

        >>> charge_by_gravity(1.225)
        0.75
    """
    corrected = gravity + GRAVITY_PER_KELVIN * (temperature - REFERENCE)
    if not LIGHTEST <= corrected <= HEAVIEST:
        raise RuleRefusal(
            "gravity",
            "gravity-outside-table",
            corrected=Amount(round(corrected, 3), "1"),
            least=Amount(LIGHTEST, "1"),
            most=Amount(HEAVIEST, "1"),
        )
    return _share(corrected, 2)


def _share(value: float, column: int) -> float:
    """Share of full charge by one column of the table; its ends are empty and full."""
    value = min(max(value, CHARGE[0][column]), CHARGE[-1][column])
    top = next(row for row, entry in enumerate(CHARGE) if value <= entry[column])
    if CHARGE[top][column] == value:
        return CHARGE[top][0]
    low, high = CHARGE[top - 1], CHARGE[top]
    return low[0] + (value - low[column]) / (high[column] - low[column]) * (high[0] - low[0])
