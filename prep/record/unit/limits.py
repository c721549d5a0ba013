"""The limit of a line for one unit: stated values converted, rules computed.

Paths refer to the data of the model or the buyer's tractor and to earlier readings of the same
sheet. A computed limit keeps its rule, inputs and result.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields, is_dataclass
from fractions import Fraction
from typing import Any, get_args, get_type_hints

from prep.record.procedure.line import Bound, Chosen, Computed, Limit, Line, is_reference
from prep.record.procedure.values import measured
from prep.record.refusal import Refusal
from prep.record.unit.events import ReadingTaken
from prep.record.unit.frozen_limit import (
    Computation,
    FrozenLimit,
    InputUsed,
    StatedBound,
    StatedLimit,
)
from prep.record.unit.state import Record
from prep.rules.answers import all_rules  # noqa: F401 - fills the catalog
from prep.rules.catalog.catalog import RULES, In, Rule, RuleRefusal, Unit
from prep.rules.conformity.judgment import DecisionRule, Interval
from prep.rules.quantities.quantity import (
    UNITS,
    Measured,
    canonical,
    decimal_text,
    from_si,
    unit,
)


def freeze(record: Record, line: Line, position: str) -> FrozenLimit | None:
    """The limit of a line for this unit now, in canonical units; None where the line has none.

    Raises Refusal where the limit needs a tractor, a model or a reading that is missing.
    """
    limit = line.limit
    if limit is None:
        return None
    if limit.one_of:
        words = accepted_choices(record, limit.one_of, position)
        return FrozenLimit(source=limit.source, basis=limit.basis, one_of=words)
    bounds = _Bounds(record, line, position)
    low, high, stated = bounds.interval(limit)
    source, basis = _source_and_basis(limit, bounds.computed)
    return FrozenLimit(
        source=source,
        basis=basis,
        low="" if low is None else exact_text(low.canonical()),
        high="" if high is None else exact_text(high.canonical()),
        quantity=line.quantity,
        decision=limit.decision,
        guard=limit.guard if limit.decision == "guarded" else "",
        stated=stated,
        computed=bounds.computed,
    )


def accepted_choices(
    record: Record, one_of: tuple[str, ...] | Chosen, position: str
) -> tuple[str, ...]:
    """The choices a limit accepts for this unit: as stated, by its options, or from a path."""
    if isinstance(one_of, tuple):
        return one_of
    if one_of.options:
        wanted = [words for option, words in one_of.options.items() if option in record.options]
        return tuple(dict.fromkeys(word for words in wanted for word in words)) or one_of.otherwise
    where, _, rest = one_of.path.partition(".")
    if where == "reading":
        return (_earlier_entry(record, rest, position, lambda event: event.choice).choice,)
    value = lookup(record, one_of.path, position)
    return tuple(map(str, value)) if isinstance(value, list | tuple) else (str(value),)


def _source_and_basis(limit: Limit, computed: Computation | None) -> tuple[str, str]:
    """Whose limit it is: the procedure says so, unless the rule had to choose for this unit."""
    match computed.decided_by if computed else "":
        case "manufacturer":
            return limit.source, "manufacturer"
        case "general":
            assert computed is not None
            return RULES[computed.rule].sections["Source"], "common-practice"
        case _:
            return limit.source, limit.basis


def expected(record: Record, line: Line, position: str) -> tuple[Measured, Fraction] | None:
    """What a reading should come to and how far it may be off, in one unit; None if not known."""
    if line.expects is None:
        return None
    bounds = _Bounds(record, line, position)
    try:
        value = bounds.bound(line.expects.value).value
    except Refusal:
        return None  # a value it follows from is not there yet
    return value, bounds.span(line.expects.within, value)


def count_of(record: Record, bound: Bound, position: str) -> int:
    """A whole number that a procedure states, or reads from model or tractor data."""
    if isinstance(bound, str):
        return int(measured(bound, "count", "fasteners").value)
    value = lookup(record, bound.path, position)
    if isinstance(value, str):
        value = measured(value, "count", bound.path).value
    return int(value.value if isinstance(value, Measured) else value)


def interval_of(limit: FrozenLimit) -> Interval | None:
    """The permitted interval of a frozen limit, in canonical units; None where it has no bounds."""
    if not limit.low and not limit.high:
        return None
    return Interval(
        Fraction(limit.low) if limit.low else None, Fraction(limit.high) if limit.high else None
    )


def decision_rule(limit: FrozenLimit) -> DecisionRule:
    """The decision rule of a frozen limit."""
    if limit.decision == "guarded":
        return DecisionRule("guarded", Fraction(limit.guard))
    return DecisionRule("simple")


def exact_text(value: Fraction) -> str:
    """A number as decimal text if that is exact, else as a fraction."""
    text = decimal_text(value, 30)
    return text if Fraction(text) == value else f"{value.numerator}/{value.denominator}"


class _Bounds:
    """Computes the bounds of one line's limit; `computed` keeps the rule, inputs and result."""

    def __init__(self, record: Record, line: Line, position: str) -> None:
        self.record = record
        self.line = line
        self.position = position
        self.computed: Computation | None = None

    def interval(self, limit: Limit) -> tuple[Measured | None, Measured | None, StatedLimit]:
        """Low, high and the limit as stated."""
        if limit.nominal is not None:
            return self._around(limit, self._as_tolerance(limit, self.bound(limit.nominal)))
        low = self.bound(limit.at_least) if limit.at_least is not None else None
        high = self.bound(limit.at_most) if limit.at_most is not None else None
        stated = StatedLimit(
            at_least=low.stated() if low else None, at_most=high.stated() if high else None
        )
        return low.value if low else None, high.value if high else None, stated

    def _as_tolerance(self, limit: Limit, nominal: "_Bound") -> "_Bound":
        """A computed nominal, converted to the unit of its tolerance: psi with psi."""
        texts = [t for t in (limit.tolerance, limit.plus, limit.minus) if t and t[-1] != "%"]
        if isinstance(limit.nominal, str) or not texts:
            return nominal
        stated = measured(texts[0], self.line.quantity, self.line.line).unit
        computed = isinstance(limit.nominal, Computed) and bool(limit.nominal.rule)
        return _Bound(from_si(float(nominal.value.si()), stated)) if computed else nominal

    def _around(self, limit: Limit, middle: "_Bound") -> tuple[Measured, Measured, StatedLimit]:
        nominal = middle.value
        if not (limit.tolerance or limit.plus or limit.minus):
            return nominal, nominal, StatedLimit(nominal=middle.stated())
        plus = self.span(limit.tolerance or limit.plus, nominal)
        minus = self.span(limit.tolerance or limit.minus, nominal)
        low = Measured(nominal.value - minus, nominal.unit)
        high = Measured(nominal.value + plus, nominal.unit)
        return low, high, StatedLimit(middle.stated(), exact_text(plus), exact_text(minus))

    def span(self, text: str, nominal: Measured) -> Fraction:
        if not text:
            return Fraction(0)
        if text.endswith("%"):
            return abs(nominal.value) * Fraction(text[:-1].strip()) / 100
        width = measured(text, self.line.quantity, self.line.line)
        return width.span_si() / nominal.unit.factor

    def bound(self, bound: Bound) -> "_Bound":
        """One bound in the unit it is stated in; a rule's result states none."""
        quantity = self.line.quantity
        if isinstance(bound, str):
            return _Bound(measured(bound, quantity, self.line.line))
        if bound.rule:
            result, self.computed = call(self.record, bound, self.position)
            if not isinstance(result, float | int):
                raise Refusal("rule-result", rule=bound.rule)
            printed = self.line.limit.unit if self.line.limit else ""
            into = unit(printed) if printed else canonical(quantity)
            return _Bound(from_si(float(result), into), unit_stated=bool(printed))
        value = lookup(self.record, bound.path, self.position)
        if isinstance(value, Measured):
            return _Bound(value)
        if isinstance(value, str):
            return _Bound(measured(value, quantity, bound.path))
        return _Bound(Measured(Fraction(str(value)), canonical(quantity)), unit_stated=False)


@dataclass(frozen=True)
class _Bound:
    """A bound, and whether the unit of its value is the one it is stated in."""

    value: Measured
    unit_stated: bool = True

    def stated(self) -> StatedBound:
        """The bound as the limit keeps it."""
        value = self.value
        return StatedBound(exact_text(value.value), value.unit.symbol, self.unit_stated)


def call(
    record: Record, rule: Computed, position: str, limit: FrozenLimit | None = None
) -> tuple[Any, Computation]:
    """Result of a rule for this unit, in SI, and the computation with its inputs.

    `limit` is the frozen limit that an advice may refer to. Raises Refusal where an input is
    missing or the rule refuses.
    """
    called = RULES[rule.rule]
    inputs = inputs_of(record, rule, position, limit)
    try:
        result = called(**inputs)
    except RuleRefusal as no:
        raise Refusal("rule-refused", field=no.field, rule=called.name, why=no.phrase) from no
    hint, decided_by = called.result, getattr(result, "decided_by", "")
    if rule.field:
        hint = get_type_hints(type(result), include_extras=True)[rule.field]
        result = getattr(result, rule.field)
    computation = Computation(
        rule.rule,
        {name: _input_used(rule.inputs[name], inputs[name]) for name in inputs},
        _result_text(result),
        next((x.unit for x in get_args(hint)[1:] if isinstance(x, Unit)), ""),
        _assumed(called, inputs),
        decided_by,
    )
    return result, computation


def inputs_of(
    record: Record, rule: Computed, position: str, limit: FrozenLimit | None = None
) -> dict[str, Any]:
    """Inputs of a rule for this unit, by name, in SI as the rule takes them."""
    return {
        parameter.name: _input(record, rule.inputs[parameter.name], parameter.spec, position, limit)
        for parameter in RULES[rule.rule].parameters
        if parameter.name in rule.inputs
    }


def _assumed(rule: Rule, given: Mapping[str, Any]) -> dict[str, str]:
    """Inputs left out that the rule has a value of its own for; nothing, no and zero are none."""
    return {
        one.name: _assumed_text(one.default)
        for one in rule.parameters
        if one.name not in given and one.default
    }


def _assumed_text(value: Any) -> str:
    if value is True:
        return "yes"
    return f"{value:.9g}" if isinstance(value, float) else str(value)


def _input_used(stated: Any, used: Any) -> InputUsed:
    if not is_reference(stated):
        return InputUsed(str(stated))
    return InputUsed(f"{used:.9g}" if isinstance(used, float) else str(used), stated)


def _result_text(result: Any) -> str | dict[str, str]:
    if is_dataclass(result):
        return {field.name: str(getattr(result, field.name)) for field in fields(result)}
    return f"{result:.9g}" if isinstance(result, float) else str(result)


def _input(record: Record, stated: Any, spec: Any, position: str, limit: FrozenLimit | None) -> Any:
    value = stated
    if is_reference(stated):
        value = (
            _limit_part(limit, stated)
            if stated.startswith("limit.")
            else lookup(record, stated, position)
        )
    if isinstance(value, list | tuple):
        return tuple(_in_rule_unit(one, spec, str(stated)) for one in value)
    return _in_rule_unit(value, spec, str(stated))


def _in_rule_unit(value: Any, spec: Any, stated: str) -> Any:
    """A value as the rule takes it: a float in the input's unit, or the word, number or yes/no."""
    if not isinstance(spec, In):
        return int(value.value) if isinstance(value, Measured) else value
    wanted = unit(spec.unit)
    if isinstance(value, str):
        value = measured(value, wanted.quantity, stated)
    if isinstance(value, Measured):
        return float(value.span_si() / wanted.factor if spec.span else value.in_unit(wanted))
    if isinstance(value, Fraction):
        return float(value)
    return float(value) if isinstance(value, int) and not isinstance(value, bool) else value


def _limit_part(limit: FrozenLimit | None, path: str) -> Measured:
    """Low end, high end or middle of the limit that an advice refers to."""
    interval = interval_of(limit) if limit else None
    if limit is None or interval is None:
        raise Refusal("no-limit")
    low = interval.low if interval.low is not None else interval.high
    high = interval.high if interval.high is not None else interval.low
    assert low is not None
    assert high is not None
    parts = {"low": low, "high": high, "middle": (low + high) / 2}
    return Measured(parts[path.removeprefix("limit.")], canonical(limit.quantity))


def lookup(record: Record, path: str, position: str) -> Any:
    """Value at a path: model or tractor data, or an earlier reading.

    A path to a reading without a position means the same position, else the box without one.
    Raises Refusal where the value is missing.
    """
    where, _, rest = path.partition(".")
    if where == "reading":
        return _earlier_reading(record, rest, position)
    facts = record.model if where == "model" else record.tractor
    if facts is None:
        raise Refusal(f"needs-{where}")
    if rest not in facts.data:
        raise Refusal("missing-data", field=rest, name=facts.name, entry=rest)
    return facts.data[rest]


def _earlier_reading(record: Record, rest: str, position: str) -> Measured:
    event = _earlier_entry(record, rest, position, lambda event: event.value)
    return Measured(Fraction(event.value), UNITS[event.unit])


def _earlier_entry(
    record: Record, rest: str, position: str, holds: Callable[[ReadingTaken], str]
) -> ReadingTaken:
    """The entry of an earlier line that holds a value or a choice; Refusal where there is none."""
    step, line, *named = rest.split(".")
    for place in (named[0],) if named else (position, ""):
        box = record.boxes.get((step, line, place))
        event = box.current.event if box and box.current else None
        if isinstance(event, ReadingTaken) and holds(event):
            return event
    steps = record.procedure.steps if record.procedure else {}
    lines = steps[step].by_line if step in steps else {}
    raise Refusal(
        "needs-reading",
        field=line,
        step_title=steps[step].title if step in steps else step,
        ask=lines[line].ask if line in lines else line,
    )
