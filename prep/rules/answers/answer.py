"""Calculation of a rule from typed inputs, with its formula and source.

The same for the API, the pages and the command line.
"""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, fields, is_dataclass
from fractions import Fraction
from typing import Any, Final, get_args, get_type_hints

from prep.rules.answers import all_rules  # noqa: F401 - fills the catalog
from prep.rules.answers.drawings_by_rule import drawings
from prep.rules.catalog.advice import Advice
from prep.rules.catalog.catalog import RULES, In, OneOf, Parameter, Rule, RuleRefusal, Unit, YesNo
from prep.rules.drawings.shapes import Drawing
from prep.rules.entries.read import Typed, read
from prep.rules.entries.results import why_unread
from prep.rules.quantities.quantity import QUANTITIES, Measured, canonical, from_si, show
from prep.rules.quantities.quantity import Unit as Symbol
from prep.rules.quantities.quantity import unit as unit_called

Plain = str | int | float | bool
Written = Plain | Sequence[Plain]

# What people read off, beside the unit of the record: for each quantity the units for values up to
# a size in SI, then those for all beyond. Common practice, no published source.
BEYOND: Final = math.inf
Usual = tuple[tuple[float, tuple[str, ...]], ...]
USUAL: Final[dict[str, Usual]] = {
    "length": ((100.0, ("mm", "in")), (BEYOND, ("km", "mi"))),
    "area": ((BEYOND, ("mm²", "in²")),),
    "volume": ((1e-4, ("mL", "US fl oz")), (BEYOND, ("L", "US gal"))),
    "mass": ((0.1, ("g", "oz")), (BEYOND, ("kg", "lb"))),
    "force": ((BEYOND, ("kN", "lbf")),),
    "torque": ((BEYOND, ("N·m", "ft·lbf")),),
    "pressure": ((1e8, ("bar", "psi")), (BEYOND, ("MPa", "psi"))),
    "angle": ((BEYOND, ("°",)),),
    "slope": ((BEYOND, ("mm/m", "in/ft")),),
    "rotation": ((BEYOND, ("rpm",)),),
    "speed": (
        (0.005, ("mm/min", "in/min")),
        (1.0, ("mm/s", "in/s")),
        (BEYOND, ("km/h", "mph", "ft/min")),
    ),
    "temperature": ((BEYOND, ("°C", "°F")),),
    "time": ((BEYOND, ("h",)),),
    "power": ((BEYOND, ("kW", "hp")),),
    "flow": ((BEYOND, ("L/min", "US gal/min")),),
    "particles": ((BEYOND, ("1/mL",)),),
}
NOTHING_TO_DO: Final = "nothing to turn, add or move"
YES: Final = frozenset({"yes", "y", "true", "1"})
NO: Final = frozenset({"no", "n", "false", "0"})


class UnclearInput(RuleRefusal):
    """An input can be read in more than one way; each of `choices` can be typed instead."""

    def __init__(self, field: str, message: str, choices: list[dict[str, str]]) -> None:
        super().__init__(field, message)
        self.choices = choices


@dataclass(frozen=True)
class Understood:
    """An input as written and as understood: a number in `unit` (SI), or a word."""

    name: str
    meaning: str
    written: str
    value: Any
    unit: str


@dataclass(frozen=True)
class Value:
    """One value of an answer: in SI, and shown in the units people use. Words have no unit."""

    name: str
    value: Any
    unit: str
    shown: tuple[str, ...]


@dataclass(frozen=True)
class Calculation:
    """A rule's answer with its inputs, formula, source and drawings."""

    rule: str
    title: str
    formula: str
    source: str
    inputs: tuple[Understood, ...]
    results: tuple[Value, ...]
    advice: tuple[str, ...]
    drawings: tuple[Drawing, ...]


def calculate(
    name: str, written: Mapping[str, Written], *, decimal_comma: bool | None = None
) -> Calculation:
    """Calculate a rule from typed inputs; RuleRefusal names the input at fault, or `rule`."""
    rule = find_rule(name)
    known = {parameter.name: parameter for parameter in rule.parameters}
    symbols: dict[str, Symbol] = {}
    inputs: dict[str, Any] = {}
    for given, text in written.items():
        parameter = known.get(given)
        if parameter is None:
            listed = ", ".join(known)
            raise RuleRefusal(given, f"{rule.title} has no input “{given}”. It has: {listed}.")
        inputs[given] = _input(parameter, text, decimal_comma, symbols)
    result = rule(**inputs)
    answer = _Answer(symbols)
    results = tuple(answer.values("", result, rule.result))
    length = symbols.get("length", canonical("length")).symbol
    return Calculation(
        rule=rule.name,
        title=rule.title,
        formula=rule.sections["Formula"],
        source=rule.sections["Source"],
        inputs=tuple(_understood(known[given], written[given], inputs[given]) for given in inputs),
        results=results,
        advice=tuple(answer.advice),
        drawings=drawings(name, inputs, result, length),
    )


def in_words(value: Any) -> str:
    """A value as a person reads it: yes or no, nine digits at most, a list with semicolons."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:.9g}"
    if isinstance(value, tuple):
        return "; ".join(in_words(part) for part in value) or "none"
    return str(value)


def find_rule(name: str) -> Rule:
    """A rule by its name."""
    rule = RULES.get(name)
    if rule is None:
        topic = name.partition(".")[0]
        near = [known for known in RULES if known.startswith(f"{topic}.")]
        listed = f" Under {topic}: {', '.join(near)}." if near else ""
        raise RuleRefusal("rule", f"There is no rule “{name}”.{listed}")
    return rule


def _understood(parameter: Parameter, written: Written, value: Any) -> Understood:
    parts = written if isinstance(written, list | tuple) else [written]
    unit = parameter.spec.unit if isinstance(parameter.spec, In) else ""
    return Understood(
        parameter.name, parameter.meaning, "; ".join(str(part) for part in parts), value, unit
    )


def _input(
    parameter: Parameter, written: Written, comma: bool | None, symbols: dict[str, Symbol]
) -> Any:
    """The value a rule takes for what was written; notes the unit typed for each quantity."""
    if not parameter.several:
        if isinstance(written, list | tuple):
            raise RuleRefusal(parameter.name, f"{parameter.name} takes one value, not a list.")
        return _one(parameter, written, comma, symbols)
    parts: Sequence[Any] = written if isinstance(written, list | tuple) else [written]
    if isinstance(written, str):
        parts = written.split(";")
    return tuple(_one(parameter, part, comma, symbols) for part in parts)


def _one(parameter: Parameter, written: Any, comma: bool | None, symbols: dict[str, Symbol]) -> Any:
    spec = parameter.spec
    if isinstance(spec, In):
        if isinstance(written, bool):
            raise RuleRefusal(parameter.name, f"{parameter.name} is a quantity, not yes or no.")
        return _number(parameter.name, spec, str(written), comma, symbols)
    if isinstance(spec, YesNo):
        word = str(written).strip().casefold()
        if word not in YES | NO:
            raise RuleRefusal(parameter.name, f"Answer {parameter.name} yes or no.")
        return word in YES
    text = str(written).strip()
    if isinstance(spec, OneOf):
        return next((c for c in spec.choices if str(c).casefold() == text.casefold()), text)
    return text


def _number(
    name: str, spec: In, text: str, comma: bool | None, symbols: dict[str, Symbol]
) -> float:
    wanted = unit_called(spec.unit)
    quantity = wanted.quantity
    sign = -1 if text.lstrip().startswith(("-", "−")) and not QUANTITIES[quantity].signed else 1
    reading = read(text.lstrip(" -−") if sign < 0 else text, quantity, decimal_comma=comma)
    if not isinstance(reading, Typed):
        text, choices = why_unread(reading)
        if choices:
            raise UnclearInput(name, text, choices)
        raise RuleRefusal(name, f"{name}: {text}")
    symbols.setdefault(quantity, reading.measured.unit)
    value = reading.measured
    return sign * float(value.span_si() / wanted.factor if spec.span else value.in_unit(wanted))


class _Answer:
    """Values of a result, each shown in the units people use."""

    def __init__(self, symbols: Mapping[str, Symbol]) -> None:
        self.symbols = symbols
        self.advice: list[str] = []

    def values(self, name: str, result: Any, hint: Any) -> Iterator[Value]:
        """Every value of a result; what is advised is kept apart as sentences."""
        unit = next((x for x in get_args(hint)[1:] if isinstance(x, Unit)), None)
        if result is None and not name:
            yield Value("", NOTHING_TO_DO, "", ())
        elif result is None or (result == () and Advice in get_args(hint)):
            return
        elif isinstance(result, Advice):
            self.advice.append(self._sentence(result))
        elif is_dataclass(result):
            hints = get_type_hints(type(result), include_extras=True)
            for field in fields(result):
                inner = f"{name}.{field.name}".lstrip(".")
                yield from self.values(inner, getattr(result, field.name), hints[field.name])
        elif isinstance(result, tuple) and not unit and not _all_words(result):
            for number, part in enumerate(result, 1):
                yield from self.values(f"{name}.{number}".lstrip("."), part, None)
        else:
            yield Value(name, result, unit.unit if unit else "", self._shown(result, unit))

    def _shown(self, result: Any, unit: Unit | None) -> tuple[str, ...]:
        if unit is None:
            return ()
        parts = result if isinstance(result, tuple) else (result,)
        symbol = unit_called(unit.unit)
        chosen = self._units(symbol, max(map(abs, parts), default=0.0))
        return tuple(
            "; ".join(_text(part, symbol, one, span=unit.span) for part in parts) for one in chosen
        )

    def _units(self, unit: Symbol, size: float) -> list[Symbol]:
        """The unit typed for this quantity first, then the usual ones for a value of this size."""
        quantity = unit.quantity
        if quantity == "ratio":
            return [unit]
        usual = USUAL.get(quantity, ((BEYOND, (canonical(quantity).symbol,)),))
        wanted = size * float(unit.factor) or 1.0
        symbols = next(symbols for most, symbols in usual if wanted <= most)
        typed = [self.symbols[quantity]] if quantity in self.symbols else []
        return list(dict.fromkeys([*typed, *map(unit_called, symbols)]))

    def _sentence(self, advice: Advice) -> str:
        unit = unit_called(advice.unit)
        chosen = self.symbols.get(unit.quantity, canonical(unit.quantity))
        return advice.do.format(amount=_text(advice.amount, unit, chosen, span=advice.span)) + "."


def _text(number: float, unit: Symbol, chosen: Symbol, *, span: bool) -> str:
    """A computed number in a unit; without the noise digits of a float."""
    if span and unit.quantity == "temperature":
        chosen = unit_called("K") if chosen.symbol == "°C" else chosen
        return show(_rounded(number / float(chosen.factor)), chosen)
    exact = Measured(Fraction(number), unit).si()
    return show(from_si(float(exact), chosen).value, chosen)


def _rounded(value: float) -> Fraction:
    """A float rounded to six digits, without the noise of arithmetic."""
    return Fraction(f"{value:.6g}")


def _all_words(result: tuple[Any, ...]) -> bool:
    return all(isinstance(part, str) for part in result)
