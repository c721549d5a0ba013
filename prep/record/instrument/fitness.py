"""Measurement uncertainty and usable range of an instrument."""

from fractions import Fraction

from prep.record.facts import InstrumentFacts
from prep.record.procedure.values import measured
from prep.rules.conformity.judgment import AtLimits, Interval
from prep.rules.conformity.uncertainty import expanded_squared, root_rounded_up
from prep.rules.quantities.quantity import Measured, canonical


def expanded_uncertainty(instrument: InstrumentFacts, value: Fraction) -> Fraction:
    """Expanded uncertainty (k = 2) at a value, both in the canonical unit of the quantity.

    The whole computation is in that unit, so that a percentage of a temperature is a percentage
    of degrees Celsius and not of kelvins. It is exact but for one rounding, upwards.
    """
    shares = _number(instrument.percent_of_reading) * abs(value)
    shares += _number(instrument.percent_of_scale) * _span(instrument, instrument.high)
    half_width = _span(instrument, instrument.absolute) + shares / 100
    return root_rounded_up(expanded_squared(half_width, _span(instrument, instrument.resolution)))


def uncertainty_at_limits(instrument: InstrumentFacts | None, interval: Interval) -> AtLimits:
    """Expanded uncertainty (k = 2) of an instrument at each limit, in the canonical unit."""

    def at(limit: Fraction | None) -> Fraction:
        if instrument is None or limit is None:
            return Fraction(0)
        return expanded_uncertainty(instrument, limit)

    return AtLimits(at(interval.low), at(interval.high))


def _number(text: str) -> Fraction:
    return Fraction(text or 0)


def _span(instrument: InstrumentFacts, text: str) -> Fraction:
    """A width in the canonical unit; 0 where the instrument does not state it."""
    if not text:
        return Fraction(0)
    width = measured(text, instrument.quantity, instrument.code)
    return width.span_si() / canonical(instrument.quantity).factor


def in_usable_range(instrument: InstrumentFacts, reading: Measured) -> bool:
    """Whether a reading lies in the instrument's usable range, ends included."""
    low, high = (
        measured(text, instrument.quantity, instrument.code).si() if text else None
        for text in (instrument.low, instrument.high)
    )
    value = reading.si()
    return (low is None or low <= value) and (high is None or value <= high)
