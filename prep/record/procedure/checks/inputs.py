"""Inputs of a rule as a document or a model's data states them, in SI as the rule takes them."""

from typing import Any, Final

from prep.record.documents.problems import clipped, nearest
from prep.record.procedure.checks.values import Fault, fault, held
from prep.rules.catalog.catalog import MOST_VALUES, In, OneOf, Parameter, Spec, Text, YesNo
from prep.rules.phrase import Amount
from prep.rules.quantities.quantity import unit

# A bare number is a complete value of these.
WHOLE_QUANTITIES: Final = frozenset({"count", "ratio"})


def input_value(parameter: Parameter, stated: Any, *, literal: bool = False) -> Any:
    """The value a rule takes, or the Fault of what is stated.

    A list stands in a model's data only; a `literal` one would have no unit of its own.
    """
    if not parameter.several:
        if isinstance(stated, list | tuple):
            return fault("input-not-a-list", name=parameter.name)
        return _one(parameter, stated)
    if literal or not isinstance(stated, list | tuple):
        return fault("input-list", name=parameter.name)
    if len(stated) > MOST_VALUES:
        return fault("input-many", name=parameter.name, most=MOST_VALUES)
    values = []
    for member in stated:
        value = _one(parameter, member)
        if isinstance(value, Fault):
            return value
        values.append(value)
    return tuple(values)


def _one(parameter: Parameter, stated: Any) -> Any:
    spec = parameter.spec
    if isinstance(spec, In):
        return _number(parameter.name, spec, stated)
    if isinstance(spec, OneOf):
        if isinstance(stated, bool) or stated not in spec.choices:
            choices = nearest(str(stated), tuple(str(choice) for choice in spec.choices))
            return fault("input-choice", choices, name=parameter.name, value=clipped(str(stated)))
        return stated
    return _word(parameter.name, spec, stated)


def _word(name: str, spec: Spec, stated: Any) -> Any:
    if isinstance(spec, YesNo):
        return (
            stated
            if isinstance(stated, bool)
            else fault("input-yes-no", ("true", "false"), name=name)
        )
    assert isinstance(spec, Text)
    fits = isinstance(stated, str) and len(stated) <= spec.longest
    return stated if fits else fault("input-text", name=name, most=spec.longest)


def _number(name: str, spec: In, stated: Any) -> Any:
    wanted = unit(spec.unit)
    if isinstance(stated, bool):
        return fault("input-number", name=name)
    if isinstance(stated, int):
        if wanted.quantity not in WHOLE_QUANTITIES:
            return held(str(stated), wanted.quantity)  # which asks for the unit
        value = float(stated)
    else:
        measured = held(stated, wanted.quantity)
        if isinstance(measured, Fault):
            return measured
        value = float(measured.span_si() / wanted.factor if spec.span else measured.in_unit(wanted))
    if not spec.least <= value <= spec.most:
        least, most = (Amount(end, spec.unit, spec.span) for end in (spec.least, spec.most))
        return fault("input-range", name=name, value=clipped(str(stated)), least=least, most=most)
    return value
