"""What a line computes: paths, rules and their inputs, held against the data they will meet.

An input is held against the rule's declaration: its quantity, its range, its choices. Where nothing
but stated values and a model's data go in, the rule is called, as it will be for every unit.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, fields, is_dataclass
from fractions import Fraction
from typing import Any, Final, get_args, get_type_hints

from prep.record.documents.nodes import Path
from prep.record.documents.problems import Problem, clipped, nearest
from prep.record.facts import ModelFacts
from prep.record.procedure.checks import choices
from prep.record.procedure.checks.inputs import WHOLE_QUANTITIES, input_value
from prep.record.procedure.checks.known import Known
from prep.record.procedure.checks.places import LineAt, lines_before
from prep.record.procedure.checks.values import Fault, fault, held
from prep.record.procedure.line import (
    LIMIT_PARTS,
    Bound,
    Chosen,
    Computed,
    Line,
    Takes,
    is_reference,
)
from prep.rules.answers import all_rules  # noqa: F401 - fills the catalog
from prep.rules.catalog.catalog import RULES, In, Parameter, Rule, RuleRefusal, Unit
from prep.rules.quantities.plausible import bounds_text, plausible
from prep.rules.quantities.quantity import QUANTITIES, Measured, canonical, from_si, unit

MOST_FASTENERS: Final = 1000  # of one box; a wheel has ten
MOST_CALLS: Final = 1000  # of rules while one document is checked; others are held, and not called

Note = Callable[[str, Fraction], None]


@dataclass
class Computations:
    """The computations of one procedure; it remembers the results of calls."""

    known: Known
    models: Mapping[str, ModelFacts]
    called: dict[tuple[Any, ...], Any] = field(default_factory=dict)

    def bound(self, at: LineAt, computed: Computed, path: Path, note: Note) -> Iterator[Problem]:
        """A bound that is read from a path or computed; what it is for a model goes to `note`."""
        quantity = at.line.quantity
        if computed.path:
            yield from self._path_bound(at, computed.path, (*path, "from"), note)
            return
        if computed.rule not in RULES:
            yield _no_rule(computed, path)
            return
        rule = RULES[computed.rule]
        problems = [
            *_wrong_result(rule, computed, path, quantity),
            *self._inputs(at, rule, computed, path),
        ]
        yield from problems
        if not problems:
            yield from self._called(at, rule, computed, path, note)

    def chosen(self, at: LineAt, one_of: Chosen, path: Path) -> Iterator[Problem]:
        """The accepted choices where they depend on the unit."""
        if one_of.options:
            yield from choices.by_options(at, one_of, path, choices.options_of(self.models))
            return
        root, _, rest = one_of.path.partition(".")
        if root == "reading":
            yield from choices.from_reading(at, one_of, path)
        elif root in {"model", "tractor"}:
            where = (*path, "from")
            for code, datum, found in self._data(root, rest):
                values = {"model": code, "name": rest}
                if found:
                    yield _of_data(found, where, root, code, rest, datum)
                elif root == "model":  # a tractor's word may be one that nobody can choose here
                    yield from choices.of_data(at, datum, where, values)
        else:
            values = {"path": clipped(one_of.path)}
            yield Problem("path-unknown", (*path, "from"), values, PATHS)

    def fasteners(self, at: LineAt, bound: Bound) -> Iterator[Problem]:
        """How many fasteners a setting is about: a whole number, stated or of the data."""
        path = at.at("setting", "fasteners")
        if isinstance(bound, str):
            yield from _not_a_number(held(bound, "count"), bound, path)
            return
        if bound.rule:
            yield Problem("fasteners-computed", (*path, "rule"))
            return
        root, _, rest = bound.path.partition(".")
        if root not in {"model", "tractor"}:
            allowed = ("model.…", "tractor.…")
            yield Problem("path-unknown", (*path, "from"), {"path": clipped(bound.path)}, allowed)
            return
        for code, datum, found in self._data(root, rest):
            value = found or _one_value(datum, "count")
            if isinstance(value, Fault):
                yield _of_data(value, (*path, "from"), root, code, rest, datum)
            else:
                yield from _not_a_number(value, str(datum), (*path, "from"))

    def advice(self, at: LineAt, computed: Computed, path: Path) -> Iterator[Problem]:
        """An advice: a rule with its inputs."""
        if computed.path:
            yield Problem("advice-without-rule", path)
        elif computed.rule not in RULES:
            yield _no_rule(computed, path)
        elif not at.line.quantity:
            yield Problem("advice-without-quantity", path)
        else:
            rule = RULES[computed.rule]
            yield from _wrong_field(rule, computed, path)
            yield from self._inputs(at, rule, computed, path, advice=True)

    def _path_bound(self, at: LineAt, path: str, where: Path, note: Note) -> Iterator[Problem]:
        quantity = at.line.quantity
        root, _, rest = path.partition(".")
        if root in {"model", "tractor"}:
            for code, datum, found in self._data(root, rest):
                value = found or _one_value(datum, quantity)
                if isinstance(value, Fault):
                    yield _of_data(value, where, root, code, rest, datum)
                elif root == "model":
                    note(code, value.canonical())
        elif root == "reading":
            yield from _reading(at, path, where, quantity, advice=False)
        else:
            yield Problem("path-unknown", where, {"path": clipped(path)}, PATHS)

    def _data(self, root: str, name: str) -> Iterator[tuple[str, Any, Fault | None]]:
        """A field of each model's data, or of each tractor that has it; or that it is missing."""
        if root == "model":
            for code, facts in self.models.items():
                names = tuple(facts.data)
                lacking = fault("model-data-missing", nearest(name, names), model=code, name=name)
                yield code, facts.data.get(name), None if name in facts.data else lacking
            return
        tractors = self.known.models.tractors
        having = {code: one for code, one in tractors.items() if name in one.data}
        if tractors and not having:
            names = tuple(dict.fromkeys(each for one in tractors.values() for each in one.data))
            yield "", None, fault("tractor-data-unknown", nearest(name, names), name=name)
        for code, one in having.items():
            yield code, one.data[name], None

    def _inputs(
        self, at: LineAt, rule: Rule, computed: Computed, path: Path, *, advice: bool = False
    ) -> Iterator[Problem]:
        """What is wrong with the inputs of a call."""
        known = {parameter.name: parameter for parameter in rule.parameters}
        meant: set[str] = set()
        for name, stated in computed.inputs.items():
            where = (*path, "with", name)
            if name not in known:
                values = {"rule": rule.name, "name": name}
                allowed = nearest(name, tuple(known))
                meant.update(allowed[:1])
                yield Problem("rule-input-unknown", where, values, allowed, name)
            elif is_reference(stated):
                yield from self._reference(at, known[name], str(stated), where, advice=advice)
            else:
                value = input_value(known[name], stated, literal=True)
                if isinstance(value, Fault):
                    yield Problem(value.code, where, value.values, value.allowed)
        for name, parameter in known.items():
            if parameter.required and name not in computed.inputs.keys() | meant:
                values = {"rule": rule.name, "name": name}
                yield Problem("rule-input-missing", (*path, "with", name), values)

    def _reference(
        self, at: LineAt, parameter: Parameter, stated: str, where: Path, *, advice: bool
    ) -> Iterator[Problem]:
        root, _, rest = stated.partition(".")
        quantity = unit(parameter.spec.unit).quantity if isinstance(parameter.spec, In) else "count"
        if root in {"model", "tractor"}:
            for code, datum, found in self._data(root, rest):
                value = found or input_value(parameter, datum)
                if isinstance(value, Fault):
                    yield _of_data(value, where, root, code, rest, datum)
        elif parameter.several:
            yield Problem("input-list", where, {"name": parameter.name})
        elif root == "reading":
            yield from _reading(at, stated, where, quantity, advice=advice)
        elif not advice:
            yield Problem("limit-of-itself", where, {"path": stated})
        elif rest not in LIMIT_PARTS:
            parts = tuple(f"limit.{part}" for part in sorted(LIMIT_PARTS))
            yield Problem("limit-part-unknown", where, {"path": stated}, nearest(stated, parts))
        elif at.line.limit is None:
            yield Problem("limit-missing", where, {"path": stated})
        elif quantity != at.line.quantity:
            yield _other_quantity(where, stated, at.line.quantity, quantity)

    def _called(
        self, at: LineAt, rule: Rule, computed: Computed, path: Path, note: Note
    ) -> Iterator[Problem]:
        """The rule called for each model, as far as the models' data and stated values go."""
        for code, facts in self.models.items():
            given = _given(rule, computed, facts)
            if given is None:
                return
            result = self._result(rule, given)
            if isinstance(result, RuleRefusal):
                why = {"input": result.field, "why": result.phrase}
                values = {"rule": rule.name, "model": code, **why}
                yield Problem("rule-refuses", (*path, "rule"), values)
                continue
            value = getattr(result, computed.field) if computed.field and result else result
            if not isinstance(value, int | float):
                continue
            measured = from_si(float(value), canonical(at.line.quantity))
            if plausible(measured):
                note(code, measured.canonical())
            else:
                least, most = bounds_text(at.line.quantity)
                values = {"rule": rule.name, "model": code, "least": least, "most": most}
                yield Problem("rule-implausible", (*path, "rule"), values)

    def _result(self, rule: Rule, given: Mapping[str, Any]) -> Any:
        key = (rule.name, *sorted(given.items(), key=lambda one: one[0]))
        if key not in self.called:
            if len(self.called) >= MOST_CALLS:
                return None
            try:
                self.called[key] = rule(**given)
            except RuleRefusal as no:
                self.called[key] = no
        return self.called[key]


PATHS: Final = ("model.…", "tractor.…", "reading.step.line", "reading.step.line.position")


def _given(rule: Rule, computed: Computed, facts: ModelFacts) -> dict[str, Any] | None:
    """The inputs for a model; None where one is known later, of a tractor or a reading."""
    given = {}
    for parameter in rule.parameters:
        if parameter.name not in computed.inputs:
            continue
        stated: Any = computed.inputs[parameter.name]
        if is_reference(stated):
            root, _, rest = str(stated).partition(".")
            if root != "model" or rest not in facts.data:
                return None
            stated = facts.data[rest]
        value = input_value(parameter, stated)
        if isinstance(value, Fault):
            return None
        given[parameter.name] = value
    return given


def _not_a_number(value: Measured | Fault, text: str, where: Path) -> Iterator[Problem]:
    """What is wrong with a value as a number of fasteners."""
    if isinstance(value, Fault):
        yield Problem(value.code, where, value.values, value.allowed)
    elif value.value.denominator != 1 or not 1 <= value.value <= MOST_FASTENERS:
        yield Problem("fasteners-number", where, {"value": clipped(text), "most": MOST_FASTENERS})


def _one_value(datum: Any, quantity: str) -> Measured | Fault:
    """A value of a model's data as a bound of a line of the quantity."""
    if isinstance(datum, str):
        return held(datum, quantity)
    if isinstance(datum, int) and not isinstance(datum, bool) and quantity in WHOLE_QUANTITIES:
        return Measured(Fraction(datum), canonical(quantity))
    return fault("value-unread", value=_shown(datum), quantity=quantity)


def _of_data(why: Fault, where: Path, root: str, code: str, name: str, datum: Any) -> Problem:
    """A fault of a field of a model's or tractor's data, at the path that refers to it."""
    if why.code in {"model-data-missing", "tractor-data-unknown"}:
        return Problem(why.code, where, why.values, why.allowed)
    inner = Problem(why.code, (), why.values, why.allowed)
    values = {"model": code, "name": name, "datum": _shown(datum), "why": inner}
    return Problem(f"{root}-data-unfit", where, values, why.allowed)


def _shown(datum: Any) -> str:
    return clipped("; ".join(map(str, datum)) if isinstance(datum, list | tuple) else str(datum))


def _reading(
    at: LineAt, path: str, where: Path, quantity: str, *, advice: bool
) -> Iterator[Problem]:
    """A reference to a reading: taken before, of this quantity, in a box this line can find."""
    parts = path.split(".")
    step_code, line_code = (*parts[1:3], "", "")[:2]
    position = parts[3] if len(parts) == 4 else ""
    lines = _lines_before(at, step_code, advice=advice)
    target = lines.get(line_code)
    if target is None or target.takes is not Takes.READING or len(parts) not in {3, 4}:
        steps = (*at.within.earlier, at.within.step.step)
        allowed = tuple(
            f"reading.{step_code}.{one.line}"
            for one in lines.values()
            if one.takes is Takes.READING
        )
        if not lines:
            allowed = tuple(f"reading.{code}" for code in steps)
        yield Problem("reading-not-earlier", where, {"path": clipped(path)}, nearest(path, allowed))
    elif position and position not in target.places:
        allowed = tuple(f"reading.{step_code}.{line_code}.{one}" for one in target.places)
        yield Problem("reading-position", where, {"path": clipped(path)}, nearest(path, allowed))
    elif not position and target.places and not set(at.line.boxes) <= set(target.places):
        allowed = tuple(f"{path}.{one}" for one in target.places)
        yield Problem("reading-position", where, {"path": clipped(path)}, allowed)
    elif target.quantity != quantity and target.quantity in QUANTITIES:
        yield _other_quantity(where, path, target.quantity, quantity)


def _lines_before(at: LineAt, code: str, *, advice: bool) -> dict[str, Line]:
    """Lines of a step that are read before this one; an advice also knows its own reading."""
    own = {at.line.line: at.line} if advice and code == at.within.step.step else {}
    return {**lines_before(at, code), **own}


def _other_quantity(where: Path, path: str, there: str, quantity: str) -> Problem:
    values = {"path": clipped(path), "there": there, "quantity": quantity}
    return Problem("path-other-quantity", where, values)


def _no_rule(computed: Computed, path: Path) -> Problem:
    allowed = nearest(computed.rule, tuple(RULES))
    return Problem("rule-unknown", (*path, "rule"), {"rule": clipped(computed.rule)}, allowed)


def _wrong_field(rule: Rule, computed: Computed, path: Path) -> Iterator[Problem]:
    several = tuple(one.name for one in fields(rule.result)) if is_dataclass(rule.result) else ()
    where, values = (*path, "field"), {"rule": rule.name}
    if computed.field and not several:
        yield Problem("rule-field-unwanted", where, values)
    elif computed.field and computed.field not in several:
        allowed = nearest(computed.field, several)
        yield Problem("rule-field-unknown", where, {**values, "name": computed.field}, allowed)


def _wrong_result(rule: Rule, computed: Computed, path: Path, quantity: str) -> Iterator[Problem]:
    """What is wrong with the result as a bound: it is one number of the line's quantity."""
    wrong = list(_wrong_field(rule, computed, path))
    if not computed.field and is_dataclass(rule.result):
        several = tuple(one.name for one in fields(rule.result))
        wrong.append(Problem("rule-field-missing", (*path, "field"), {"rule": rule.name}, several))
    yield from wrong
    if wrong:
        return
    given = _result_quantity(rule, computed.field)
    values = {"rule": rule.name, "quantity": quantity}
    if given is None:
        yield Problem("rule-no-number", (*path, "rule"), {"rule": rule.name})
    elif given != quantity and not {given, quantity} <= WHOLE_QUANTITIES:
        yield Problem("rule-other-quantity", (*path, "rule"), {**values, "there": given})


def _result_quantity(rule: Rule, name: str) -> str | None:
    """Quantity of a rule's result or of one value of it; None where it is no number."""
    hint = rule.result
    if name:
        hint = get_type_hints(hint, include_extras=True)[name]
    for part in (hint, *get_args(hint)):
        for extra in get_args(part)[1:]:
            if isinstance(extra, Unit) and get_args(part)[0] in {int, float}:
                return unit(extra.unit).quantity
    return "count" if hint in {int, float} else None
