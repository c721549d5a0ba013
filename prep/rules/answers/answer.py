"""Calculation of a rule from typed inputs, with its formula and source.

The same for the API, the pages and the command line.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, fields, is_dataclass
from fractions import Fraction
from typing import Any, Final, get_args, get_type_hints

from prep.rules.answers import all_rules  # noqa: F401 - fills the catalog
from prep.rules.answers.drawings_by_rule import drawings
from prep.rules.catalog.advice import Advice
from prep.rules.catalog.catalog import (
    RULES,
    In,
    OneOf,
    Parameter,
    Rule,
    RuleRefusal,
    Unit,
    YesNo,
    unknown_input,
)
from prep.rules.drawings.captions import Words
from prep.rules.drawings.shapes import Drawing
from prep.rules.entries.read import Typed, read
from prep.rules.entries.results import Question, choices_of
from prep.rules.phrase import Phrase
from prep.rules.quantities.quantity import QUANTITIES, Measured, canonical, from_si, show
from prep.rules.quantities.quantity import Unit as Symbol
from prep.rules.quantities.quantity import unit as unit_called
from prep.rules.quantities.usual_units import usual_units

Plain = str | int | float | bool
Written = Plain | Sequence[Plain]

NOTHING_TO_DO: Final = "nothing-to-do"
YES: Final = frozenset({"yes", "y", "true", "1"})
NO: Final = frozenset({"no", "n", "false", "0"})


class UnclearInput(RuleRefusal):
    """An input can be read in more than one way; each of `choices` can be typed instead."""

    def __init__(self, field: str, code: str, question: Question) -> None:
        super().__init__(field, code, entry=question.why)
        self.choices = choices_of(question)


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
    """One value of an answer: in SI, and shown in the units people use.

    A number has a unit. A finding is a token of `prep.words.rules.terms`, and what takes more than
    a token is a tuple of phrases.
    """

    name: str
    value: Any
    unit: str
    shown: tuple[str, ...]


@dataclass(frozen=True)
class Calculation:
    """A rule's answer with its inputs, formula, source and drawings.

    `typed_units` has the symbol of the unit that was typed first for each quantity.
    """

    rule: str
    title: str
    formula: str
    source: str
    inputs: tuple[Understood, ...]
    results: tuple[Value, ...]
    advice: tuple[Advice, ...]
    typed_units: Mapping[str, str]
    drawings: tuple[Drawing, ...]


def calculate(
    name: str, written: Mapping[str, Written], words: Words, *, decimal_comma: bool | None = None
) -> Calculation:
    """Calculate a rule from typed inputs; RuleRefusal names the input at fault, or `rule`.

    `words` are those of the drawings, in the reader's language.
    """
    rule = find_rule(name)
    known = {parameter.name: parameter for parameter in rule.parameters}
    symbols: dict[str, Symbol] = {}
    inputs: dict[str, Any] = {}
    for given, text in written.items():
        parameter = known.get(given)
        if parameter is None:
            raise unknown_input(rule, given)
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
        typed_units={quantity: unit.symbol for quantity, unit in symbols.items()},
        drawings=drawings(name, inputs, result, length, words),
    )


def find_rule(name: str) -> Rule:
    """A rule by its name."""
    rule = RULES.get(name)
    if rule is None:
        topic = name.partition(".")[0]
        near = tuple(known for known in RULES if known.startswith(f"{topic}."))
        if near:
            raise RuleRefusal("rule", "unknown-rule-of-topic", name=name, near=near)
        raise RuleRefusal("rule", "unknown-rule", name=name)
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
            raise RuleRefusal(parameter.name, "one-value-only")
        return _one(parameter, written, comma, symbols)
    parts: Sequence[Any] = written if isinstance(written, list | tuple) else [written]
    if isinstance(written, str):
        parts = written.split(";")
    return tuple(_one(parameter, part, comma, symbols) for part in parts)


def _one(parameter: Parameter, written: Any, comma: bool | None, symbols: dict[str, Symbol]) -> Any:
    spec = parameter.spec
    if isinstance(spec, In):
        if isinstance(written, bool):
            raise RuleRefusal(parameter.name, "quantity-not-an-answer")
        return _number(parameter.name, spec, str(written), comma, symbols)
    if isinstance(spec, YesNo):
        word = str(written).strip().casefold()
        if word not in YES | NO:
            raise RuleRefusal(parameter.name, "not-yes-or-no")
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
    unit = wanted if quantity == "ratio" else None  # a rule takes its ratios as plain numbers
    typed = text.lstrip(" -−") if sign < 0 else text
    reading = read(typed, quantity, decimal_comma=comma, unit=unit)
    if not isinstance(reading, Typed):
        if isinstance(reading, Question):
            raise UnclearInput(name, "input-ambiguous", reading)
        raise RuleRefusal(name, "input-unread", entry=reading.why)
    symbols.setdefault(quantity, reading.measured.unit)
    value = reading.measured
    return sign * float(value.span_si() / wanted.factor if spec.span else value.in_unit(wanted))


class _Answer:
    """Values of a result, each shown in the units people use."""

    def __init__(self, symbols: Mapping[str, Symbol]) -> None:
        self.symbols = symbols
        self.advice: list[Advice] = []

    def values(self, name: str, result: Any, hint: Any) -> Iterator[Value]:
        """Every value of a result; what is advised is kept apart."""
        unit = next((x for x in get_args(hint)[1:] if isinstance(x, Unit)), None)
        if result is None and not name:
            yield Value("", NOTHING_TO_DO, "", ())
        elif result is None or (result == () and Advice in get_args(hint)):
            return
        elif isinstance(result, Advice):
            self.advice.append(result)
        elif is_dataclass(result):
            hints = get_type_hints(type(result), include_extras=True)
            for field in fields(result):
                inner = f"{name}.{field.name}".lstrip(".")
                yield from self.values(inner, getattr(result, field.name), hints[field.name])
        elif isinstance(result, tuple) and not unit and not _is_text(result):
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
        typed = [self.symbols[quantity]] if quantity in self.symbols else []
        usual = usual_units(quantity, size * float(unit.factor) or 1.0)
        return list(dict.fromkeys([*typed, *usual]))


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


def _is_text(result: tuple[Any, ...]) -> bool:
    return all(isinstance(part, str | Phrase) for part in result)
