"""Limits: their form, their values, whose they are, and how they are decided."""

from collections.abc import Iterator
from dataclasses import dataclass, fields, is_dataclass
from fractions import Fraction

from prep.record.documents.nodes import Path
from prep.record.documents.problems import Problem, nearest
from prep.record.procedure.checks.choices import not_choices
from prep.record.procedure.checks.places import LineAt
from prep.record.procedure.checks.references import Computations
from prep.record.procedure.checks.values import Fault, held, held_tolerance
from prep.record.procedure.line import Bound, Chosen, Computed, Expectation, Limit, Takes, bounds
from prep.rules.catalog.catalog import RULES, Rule
from prep.rules.quantities.quantity import QUANTITIES

BOUNDS = ("nominal", "at_least", "at_most")


def limit(at: LineAt, computations: Computations) -> Iterator[Problem]:
    """Everything about a line's limit and its advice."""
    stated, path = at.line.limit, at.at("limit")
    if stated is not None:
        yield from _form(at, stated, path)
        yield from _decision(at, stated, path)
        yield from _unit(at, stated, path)
        yield from _basis(stated, path)
        if isinstance(stated.one_of, Chosen) and at.line.choices:
            yield from computations.chosen(at, stated.one_of, (*path, "one_of"))
        if at.line.quantity in QUANTITIES:
            yield from _values(at, stated, path, computations)
    if at.line.expects is not None:
        yield from _expectation(at, at.line.expects, computations)
    if at.line.setting is not None:
        yield from computations.fasteners(at, at.line.setting.fasteners)
    known = not at.line.quantity or at.line.quantity in QUANTITIES
    if at.line.advice is not None and known:
        yield from computations.advice(at, at.line.advice, at.at("advice"))


def _expectation(at: LineAt, expects: Expectation, computations: Computations) -> Iterator[Problem]:
    """What a reading should come to: a value of the line's quantity, and how far off is asked."""
    path = at.at("expects")
    if at.line.takes is not Takes.READING:
        yield Problem("expects-without-reading", path)
        return
    if at.line.quantity not in QUANTITIES:
        return
    if isinstance(expects.value, Computed):
        yield from computations.bound(at, expects.value, (*path, "value"), lambda *_: None)
    else:
        value = held(expects.value, at.line.quantity)
        if isinstance(value, Fault):
            yield Problem(value.code, (*path, "value"), value.values, value.allowed)
    wrong = held_tolerance(expects.within, at.line.quantity, signed=False)
    if wrong:
        yield Problem(wrong.code, (*path, "within"), wrong.values, wrong.allowed)


def _form(at: LineAt, stated: Limit, path: Path) -> Iterator[Problem]:
    forms = [stated.nominal is not None, bool(stated.one_of)]
    forms.append(stated.at_least is not None or stated.at_most is not None)
    if sum(forms) != 1:
        yield Problem("limit-form", path)
    elif stated.one_of and not at.line.choices:
        yield Problem("limit-not-of-line", (*path, "one_of"))
    elif not stated.one_of and not at.line.quantity:
        yield Problem("limit-not-of-line", path)
    if isinstance(stated.one_of, tuple):
        yield from not_choices(at, stated.one_of, (*path, "one_of"))
    if stated.tolerance and (stated.plus or stated.minus):
        yield Problem("limit-tolerance", (*path, "tolerance"))
    elif stated.nominal is None and (stated.tolerance or stated.plus or stated.minus):
        yield Problem("tolerance-without-nominal", path)


def _unit(at: LineAt, stated: Limit, path: Path) -> Iterator[Problem]:
    """A unit of the line's quantity, where there is a rule whose result can be in it."""
    if not stated.unit or at.line.quantity not in QUANTITIES:
        return
    symbols = tuple(one.symbol for one in QUANTITIES[at.line.quantity].units)
    if stated.unit not in symbols:
        values = {"unit": stated.unit, "quantity": at.line.quantity}
        yield Problem("limit-unit", (*path, "unit"), values, nearest(stated.unit, symbols))
    elif not any(isinstance(one, Computed) and one.rule for one in bounds(stated)):
        yield Problem("limit-unit-unused", (*path, "unit"))


def _decision(at: LineAt, stated: Limit, path: Path) -> Iterator[Problem]:
    if Fraction(stated.guard) > 3:
        yield Problem("guard-range", (*path, "guard"))
    if stated.decision == "guarded" and at.line.instrument is None:
        yield Problem("guarded-without-instrument", (*path, "decision"))


def _basis(stated: Limit, path: Path) -> Iterator[Problem]:
    """What a rule computes is not the manufacturer's own figure, unless the rule says it is."""
    if stated.basis != "manufacturer":
        return
    for bound in bounds(stated):
        rule = RULES.get(bound.rule) if isinstance(bound, Computed) else None
        if rule and not _says_who_decided(rule):
            allowed = ("calculated", "standard", "common-practice")
            values = {"rule": rule.name}
            yield Problem("limit-not-the-manufacturers", (*path, "basis"), values, allowed)


def _says_who_decided(rule: Rule) -> bool:
    return is_dataclass(rule.result) and "decided_by" in {one.name for one in fields(rule.result)}


def _values(at: LineAt, stated: Limit, path: Path, computations: Computations) -> Iterator[Problem]:
    """The bounds and tolerances as values of the line's quantity, for each model."""
    ends = _Ends()
    for name in BOUNDS:
        bound: Bound | None = getattr(stated, name)
        if isinstance(bound, Computed):
            yield from computations.bound(at, bound, (*path, name), ends.note(name))
        elif bound is not None:
            value = held(bound, at.line.quantity)
            if isinstance(value, Fault):
                yield Problem(value.code, (*path, name), value.values, value.allowed)
            else:
                ends.literal[name] = value.canonical()
    for name in ("tolerance", "plus", "minus"):
        text = getattr(stated, name)
        signed = name != "tolerance"
        wrong = held_tolerance(text, at.line.quantity, signed=signed) if text else None
        if wrong:
            yield Problem(wrong.code, (*path, name), wrong.values, wrong.allowed)
    yield from ends.crossed(path)
    yield from _spans_crossed(at, stated, path)


def _spans_crossed(at: LineAt, stated: Limit, path: Path) -> Iterator[Problem]:
    """A lower end that the two spans put above the upper one."""
    spans = [held(text, at.line.quantity) for text in (stated.plus, stated.minus) if text]
    widths = [one.span_si() for one in spans if not isinstance(one, Fault)]
    if len(widths) == len(spans) and sum(widths) < 0:
        yield Problem("limit-crossed", (*path, "minus"), {"model": ""})


class _Ends:
    """Both ends of a limit, as far as they are known without a unit, for all or for each model."""

    def __init__(self) -> None:
        self.literal: dict[str, Fraction] = {}
        self.by_model: dict[str, dict[str, Fraction]] = {}

    def note(self, name: str) -> "_Noting":
        """Where the computed values of an end are to be noted."""
        return _Noting(self, name)

    def crossed(self, path: Path) -> Iterator[Problem]:
        """A lower end above the upper one."""
        for model in self.by_model or ("",):
            ends = {**self.literal, **self.by_model.get(model, {})}
            if {"at_least", "at_most"} <= set(ends) and ends["at_least"] > ends["at_most"]:
                yield Problem("limit-crossed", (*path, "at_least"), {"model": model})
                return


@dataclass(frozen=True)
class _Noting:
    """Takes the values of one end."""

    ends: _Ends
    name: str

    def __call__(self, model: str, value: Fraction) -> None:
        """The end of a model's limit, in the unit of the record."""
        self.ends.by_model.setdefault(model, {})[self.name] = value
