"""Limits in words: `450 ± 10 ft·lbf`, `at least 18 mph`, and the rule a limit was computed by."""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Final

import msgspec
from django.utils.translation import gettext_noop as _

from prep.record.unit.frozen_limit import (
    Computation,
    FrozenLimit,
    InputUsed,
    StatedBound,
    StatedLimit,
)
from prep.rules.answers import all_rules  # noqa: F401 - fills the catalogue
from prep.rules.catalog.catalog import RULES
from prep.rules.phrase import Amount
from prep.rules.quantities.quantity import UNITS, Measured, Unit, show, si, with_unit
from prep.rules.quantities.usual_units import usual_unit
from prep.words.reader import Reader, say
from prep.words.rules import quantities, titles

ONE_OF: Final = _("one of: {choices}")
EXACTLY: Final = _("exactly {value}")
AROUND: Final = _("{value} ± {tolerance}")
BETWEEN: Final = _("{low} to {high}")
AT_LEAST: Final = _("at least {low}")
AT_MOST: Final = _("at most {high}")

MOST_STATED: Final = 6  # digits of a number that somebody wrote down
AS_READ: Final = 3  # digits of one that was computed or converted

BASES: Final[dict[str, str]] = {
    "manufacturer": _("manufacturer"),
    "calculated": _("calculated from the manufacturer's data"),
    "standard": _("standard"),
    "common-practice": _("common practice"),
}


def limit_text(limit: FrozenLimit, reader: Reader) -> str:
    """A limit in the unit it is stated in; in the reader's usual unit where it states none."""
    if limit.one_of:
        return say(reader, ONE_OF, choices="; ".join(limit.one_of))
    stated, most = limit.stated, AS_READ if limit.computed else MOST_STATED
    if stated.nominal is None:
        low, high = (_bound_text(end, most, reader) for end in (stated.at_least, stated.at_most))
        return between(low, high, reader)
    if not (stated.plus or stated.minus):
        return say(reader, EXACTLY, value=_bound_text(stated.nominal, most, reader))
    return _around(stated, stated.nominal, most, reader)


def kept_limit_text(limit: Mapping[str, Any] | None, reader: Reader) -> str:
    """A limit as an index row keeps it, in words; empty where there is none."""
    return limit_text(msgspec.convert(limit, FrozenLimit), reader) if limit else ""


def basis_text(basis: str, reader: Reader) -> str:
    """Whose limit it is."""
    return say(reader, BASES[basis])


DECIDED_BY: Final[dict[str, str]] = {
    "manufacturer": _("The manufacturer's value decided."),
    "general": _("A general value decided, not the manufacturer's."),
}
ASSUMED: Final = _("{value} (general value; none was given)")


@dataclass(frozen=True)
class ShownComputation:
    """A computation with the title, formula and source of its rule; `inputs` by name as text.

    `decided_by` is a sentence, where the rule chose between the manufacturer's value and a general
    one.
    """

    rule: str
    title: str
    formula: str
    source: str
    inputs: dict[str, str]
    result: str
    decided_by: str


def computation(computed: Computation, reader: Reader) -> ShownComputation:
    """A computation as it is shown."""
    called = RULES[computed.rule]
    return ShownComputation(
        rule=computed.rule,
        title=titles.title(computed.rule, reader),
        formula=called.sections["Formula"],
        source=called.sections["Source"],
        inputs={name: _input(used) for name, used in computed.inputs.items()}
        | {name: say(reader, ASSUMED, value=text) for name, text in computed.assumed.items()},
        result=_result(computed),
        decided_by=say(reader, DECIDED_BY[computed.decided_by]) if computed.decided_by else "",
    )


def _input(used: InputUsed) -> str:
    return f"{used.path} = {used.value}" if used.path else used.value


def _result(computed: Computation) -> str:
    if isinstance(computed.result, dict):
        return ", ".join(f"{name} {value}" for name, value in computed.result.items())
    return f"{computed.result} {computed.unit}".strip()


def between(low: str, high: str, reader: Reader) -> str:
    """A limit by its ends, one of which may be empty."""
    if low and high:
        return say(reader, BETWEEN, low=low, high=high)
    return say(reader, AT_LEAST, low=low) if low else say(reader, AT_MOST, high=high)


def _around(stated: StatedLimit, nominal: StatedBound, most: int, reader: Reader) -> str:
    """A value with its tolerance, or the two ends where the tolerances differ."""
    given, shown = UNITS[nominal.unit], shown_unit(nominal, reader)
    middle = Measured(Fraction(nominal.value), given)
    plus, minus = (Fraction(span) * given.factor / shown.factor for span in _spans(stated))
    value = middle.in_unit(shown)
    if plus == minus:
        bare = _number(value, shown, most, reader).removesuffix(with_unit("", shown))
        return say(reader, AROUND, value=bare, tolerance=_number(plus, shown, most, reader))
    low, high = (_number(end, shown, most, reader) for end in (value - minus, value + plus))
    return say(reader, BETWEEN, low=low, high=high)


def _spans(stated: StatedLimit) -> tuple[str, str]:
    return stated.plus or "0", stated.minus or "0"


def _bound_text(bound: StatedBound | None, most: int, reader: Reader) -> str:
    if bound is None:
        return ""
    unit = UNITS[bound.unit]
    value = Measured(Fraction(bound.value), unit)
    if bound.unit_stated:
        return _number(value.value, unit, most, reader)
    return quantities.amount(Amount(float(value.si()), si(unit.quantity).symbol), reader)


def shown_unit(bound: StatedBound, reader: Reader) -> Unit:
    """The unit a bound is shown in: as stated, else the reader's usual one."""
    unit = UNITS[bound.unit]
    if bound.unit_stated:
        return unit
    size = abs(float(Measured(Fraction(bound.value), unit).si()))
    return usual_unit(unit.quantity, size, us=reader.units == "us")


def _number(value: Fraction, unit: Unit, most: int, reader: Reader) -> str:
    """A number as it is, or as a gauge is read where it has more than `most` digits.

    Inches stay as they are: a tape is read more finely than to three digits.
    """
    if unit.symbol != "in" and quantities.to_digits(value, most) != value:
        value = quantities.to_digits(value, AS_READ)
    return quantities.number(show(value, unit), reader)


def stated_in(limit: FrozenLimit, unit: Unit, reader: Reader) -> bool:
    """Whether every bound of a limit is shown in this unit already."""
    return all(shown_unit(bound, reader) == unit for bound in _bounds(limit))


def first_bound(limit: FrozenLimit) -> StatedBound | None:
    """The bound in whose unit a limit is read; None where it states no number."""
    return next(iter(_bounds(limit)), None)


def _bounds(limit: FrozenLimit) -> list[StatedBound]:
    stated = limit.stated
    return [bound for bound in (stated.nominal, stated.at_least, stated.at_most) if bound]
