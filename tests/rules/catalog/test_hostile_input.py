"""Whatever is sent to a rule, it answers with finite numbers or names the input at fault.

House rule: the values are those that break arithmetic (zero, negative, enormous, not a number),
those just outside a range, and entries nobody means (another quantity's unit, words, no digits).
"""

import dataclasses
import doctest
import inspect
import math
import sys
from collections.abc import Callable, Iterator
from fractions import Fraction
from functools import partial
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from prep.rules.answers.answer import Written, calculate
from prep.rules.catalog.catalog import RULES, In, OneOf, Parameter, Rule, RuleRefusal, YesNo
from prep.rules.drawings.shapes import to_svg
from prep.rules.quantities.quantity import Measured, canonical, decimal_text, unit
from prep.words.reader import ENGLISH
from prep.words.rules import refusals as rule_refusals
from prep.words.rules import results
from tests.rules.drawings.checks import WORDS

NAMES = sorted(RULES)
HOSTILE_NUMBERS: tuple[Any, ...] = (
    *(0.0, -1.0, 1e-300, 1e300, -1e300, 10**400),
    *(math.nan, math.inf, -math.inf, True, None, "12", [], [1.0]),
)
HOSTILE_WORDS: tuple[Any, ...] = (
    "",
    " ",
    "x" * 5000,
    "\x00",
    "１２",
    "1/0-0",
    "M0",
    "∞",
    None,
    5,
    True,
)
HOSTILE_ENTRIES = (
    *("", "nan", "inf mm", "1e400 m", "9" * 150 + " m", "0", "-5 mm", "about 12 mm", "1/0 in"),
    *("12 furlongs", "12 kg", "12 mm", "12 psi", "12 N·m", "-300 °C", "12 mm 3", "\x00", "yes"),
)


def example_of(rule: Rule) -> dict[str, Any]:
    """Inputs of the call in a rule's worked example, in SI."""
    function, calls = rule.function, []

    def noted(*values: Any, **named: Any) -> Any:
        calls.append(inspect.signature(function).bind(*values, **named).arguments)
        return function(*values, **named)

    names = {**vars(sys.modules[function.__module__]), function.__name__: noted}
    for test in doctest.DocTestFinder(recurse=False).find(function, globs=names):
        doctest.DocTestRunner(verbose=False).run(test, out=lambda _: None)
    return {name: value for name, value in calls[0].items() if value is not None}


EXAMPLES = {name: example_of(RULES[name]) for name in NAMES}


def numbers_in(answer: Any) -> Iterator[float]:
    """Every number of an answer, however deep."""
    if isinstance(answer, float):
        yield answer
    elif isinstance(answer, tuple | list):
        for part in answer:
            yield from numbers_in(part)
    elif dataclasses.is_dataclass(answer):
        for field in dataclasses.fields(answer):
            yield from numbers_in(getattr(answer, field.name))


def answers_or_names_the_input(rule: Rule, ask: Callable[[], Any]) -> None:
    """The one thing a rule may do with what it is given."""
    refusal = None
    try:
        answer = ask()
    except RuleRefusal as no:
        refusal = no
    if refusal is None:
        assert all(math.isfinite(number) for number in numbers_in(answer))
        return
    assert refusal.field in {parameter.name for parameter in rule.parameters}, refusal
    sentence = rule_refusals.text(refusal, ENGLISH)
    assert sentence.endswith((".", "?")), sentence
    assert len(sentence) < 1000


def hostile(parameter: Parameter) -> Iterator[Any]:
    """Values an input must refuse or stand, the ends of its range among them."""
    spec = parameter.spec
    values = HOSTILE_WORDS
    if isinstance(spec, In):
        step = 1e-9 * max(abs(spec.least), abs(spec.most))
        ends = (spec.least, spec.most, spec.least - step, spec.most + step)
        values = (*ends, (spec.least + spec.most) / 2, *HOSTILE_NUMBERS)
    elif isinstance(spec, OneOf):
        values = (*spec.choices, *HOSTILE_WORDS)
    elif isinstance(spec, YesNo):
        values = (True, False, 1, "yes", None)
    yield from values
    if parameter.several:
        yield from ([value] for value in values)
        yield from ([], [values[0]] * 40, [values[1]] * 100, [values[0]] * 100_000)


@pytest.mark.parametrize("name", NAMES)
def test_one_hostile_value_in_a_good_example_is_answered_or_refused_by_name(name: str) -> None:
    """Every input of every rule, each hostile value in turn, and each input left out."""
    rule, good = RULES[name], EXAMPLES[name]
    for parameter in rule.parameters:
        for value in hostile(parameter):
            answers_or_names_the_input(rule, partial(rule, **{**good, parameter.name: value}))
        rest = {name: value for name, value in good.items() if name != parameter.name}
        answers_or_names_the_input(rule, partial(rule, **rest))


@given(st.data())
@settings(max_examples=150)
def test_any_values_from_inside_their_ranges_are_answered_or_refused_by_name(
    data: st.DataObject,
) -> None:
    """Impossible geometry is made of values that are possible one by one."""
    rule = RULES[data.draw(st.sampled_from(NAMES))]
    inputs = {}
    for parameter in rule.parameters:
        if parameter.required or data.draw(st.booleans()):
            inputs[parameter.name] = data.draw(_in_range(parameter, EXAMPLES[rule.name]))
    answers_or_names_the_input(rule, partial(rule, **inputs))


def _in_range(parameter: Parameter, example: dict[str, Any]) -> st.SearchStrategy[Any]:
    spec = parameter.spec
    one: st.SearchStrategy[Any] = st.just(example.get(parameter.name, "x"))
    if isinstance(spec, In):
        one = st.floats(spec.least, spec.most)
    elif isinstance(spec, OneOf):
        one = st.sampled_from(spec.choices)
    elif isinstance(spec, YesNo):
        one = st.booleans()
    return st.lists(one, max_size=5) if parameter.several else one


# The same through the door for people: text with units


def as_written(parameter: Parameter, value: Any) -> Written:
    """An input in SI as a person would write it, in the unit records are kept in."""
    if parameter.several:
        return [_written(parameter, one) for one in value]
    return _written(parameter, value)


def _written(parameter: Parameter, value: Any) -> str:
    spec = parameter.spec
    if not isinstance(spec, In):
        return str(value)
    wanted = unit(spec.unit)
    if spec.span or wanted.quantity == "ratio":
        return f"{decimal_text(Fraction(value), 7)} {'' if spec.unit == '1' else spec.unit}"
    kept = canonical(wanted.quantity)
    return f"{decimal_text(Measured(Fraction(value), wanted).in_unit(kept), 7)} {kept.symbol}"


@pytest.mark.parametrize("name", NAMES)
def test_an_example_written_with_units_is_worked_out_and_drawn(name: str) -> None:
    """Every rule can be asked the way people ask: no unit in the catalog is unknown."""
    rule = RULES[name]
    given_units = {
        parameter.name: as_written(parameter, EXAMPLES[name][parameter.name])
        for parameter in rule.parameters
        if parameter.name in EXAMPLES[name]
    }
    calculation = calculate(name, given_units, WORDS, decimal_comma=False)
    assert calculation.results or calculation.advice
    assert all(results.shown(value, ENGLISH) for value in calculation.results)
    assert all(results.advice_of(calculation, ENGLISH))
    assert all(to_svg(drawing).startswith("<svg") for drawing in calculation.drawings)
    for parameter in rule.parameters:
        for entry in HOSTILE_ENTRIES:
            asked = {**given_units, parameter.name: entry}
            answers_or_names_the_input(
                rule, partial(calculate, name, asked, WORDS, decimal_comma=False)
            )
