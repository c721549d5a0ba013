"""Measurement uncertainty and usable range of an instrument."""

from fractions import Fraction

from prep.record.facts import InstrumentFacts
from prep.record.procedure.values import measured
from prep.rules.conformity.uncertainty import instrument_uncertainty
from prep.rules.quantities.quantity import Measured, canonical


def expanded_uncertainty(instrument: InstrumentFacts, reading: Measured) -> Fraction:
    """Expanded uncertainty (k = 2) of a reading, in the canonical unit of its quantity.

    The whole computation is in that unit, so that a percentage of a temperature is a percentage
    of degrees Celsius and not of kelvins.
    """
    expanded = instrument_uncertainty(
        reading=float(reading.canonical()),
        percent_of_reading=float(instrument.percent_of_reading or 0),
        percent_of_scale=float(instrument.percent_of_scale or 0),
        scale=_span(instrument, instrument.high),
        absolute=_span(instrument, instrument.absolute),
        resolution=_span(instrument, instrument.resolution),
    )
    return Fraction(f"{expanded:.9g}")


def _span(instrument: InstrumentFacts, text: str) -> float:
    """A width in the canonical unit; 0 where the instrument does not state it."""
    if not text:
        return 0.0
    width = measured(text, instrument.quantity, instrument.code)
    return float(width.span_si() / canonical(instrument.quantity).factor)


def in_usable_range(instrument: InstrumentFacts, reading: Measured) -> bool:
    """Whether a reading lies in the instrument's usable range, ends included."""
    low, high = (
        measured(text, instrument.quantity, instrument.code).si() if text else None
        for text in (instrument.low, instrument.high)
    )
    value = reading.si()
    return (low is None or low <= value) and (high is None or value <= high)
