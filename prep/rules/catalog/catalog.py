"""The catalog of rules: one declaration serves a limit, a calculator and its own check.

A rule is a pure function with SI inside. Its signature says each input's unit and range of
validity; its docstring says what the numbers mean, the formula, the source and an example taken
from that source. From the declaration alone the catalog

* refuses input outside the range, naming the field, before the function runs;
* lets a procedure use the rule by name as a limit or an advice;
* lets a person ask for the answer with its inputs, formula and source beside it.
"""

import inspect
import re
import sys
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Annotated, Any, Final, TypeVar, get_args, get_origin, get_type_hints

from prep.rules.phrase import Amount, Phrase, RuleName, Value

F = TypeVar("F", bound=Callable[..., Any])

SECTIONS: Final = ("Inputs", "Result", "Formula", "Source", "Example")
MOST_VALUES: Final = 100  # in a list; no machine has as many of anything a rule asks for


class RuleRefusal(ValueError):
    """Refusal of an input; `field` is the input's name, code and values say why.

    Each code has its sentence in `prep.words.rules.refusals`, which may also name the `{input}`.
    """

    def __init__(self, field: str, code: str, **values: Value) -> None:
        self.field = field
        self.phrase = Phrase(code, values)
        super().__init__(f"{field}: {self.phrase}")

    @property
    def code(self) -> str:
        """The stable code, for programs."""
        return self.phrase.code

    @property
    def values(self) -> Mapping[str, Value]:
        """What the sentence names, besides the input."""
        return self.phrase.values


@dataclass(frozen=True)
class In:
    """Unit and range of validity of one input; both ends belong to the range.

    With `span` it is a difference: 50 °F of warming are 27.8 K, not 283 K.
    """

    unit: str
    least: float
    most: float
    span: bool = False


@dataclass(frozen=True)
class Unit:
    """Unit of a result; with `span` it is a difference, such as a margin in kelvins."""

    unit: str
    span: bool = False


@dataclass(frozen=True)
class OneOf:
    """The values an input may take."""

    choices: tuple[str | int, ...]


@dataclass(frozen=True)
class YesNo:
    """An input answered yes or no: declared as a plain `bool`."""


@dataclass(frozen=True)
class Text:
    """An input that is written, such as a code: declared as a plain `str`, at most 200 long."""

    longest: int = 200


Spec = In | OneOf | YesNo | Text


@dataclass(frozen=True)
class Parameter:
    """One input of a rule, as declared in its signature and explained in its docstring.

    With `several` it is a list whose members each keep to `spec`.
    """

    name: str
    spec: Spec
    several: bool
    meaning: str
    required: bool
    default: Any


@dataclass(frozen=True)
class Rule:
    """A rule with everything needed to call it, show it and check it."""

    name: str
    title: str
    function: Callable[..., Any]
    parameters: tuple[Parameter, ...]
    sections: dict[str, str]
    result: Any

    def __call__(self, **inputs: Any) -> Any:
        """Answer, or raise RuleRefusal naming the input that stands in the way."""
        known = {parameter.name for parameter in self.parameters}
        for name in inputs:
            if name not in known:
                raise unknown_input(self, name)
        for parameter in self.parameters:
            value = inputs.get(parameter.name)
            if value is None and parameter.required:
                raise RuleRefusal(parameter.name, "input-missing")
            if parameter.name in inputs:
                _check(parameter, value)
        return self.function(**inputs)


def unknown_input(rule: Rule, name: str) -> RuleRefusal:
    """The refusal of an input that a rule does not have."""
    names = tuple(parameter.name for parameter in rule.parameters)
    return RuleRefusal(name, "unknown-input", rule=RuleName(rule.name), name=name, inputs=names)


RULES: dict[str, Rule] = {}


def rule(name: str) -> Callable[[F], F]:
    """Enter a function in the catalog under `name` (`topic.noun`)."""

    def enter(function: F) -> F:
        if name in RULES:
            raise ValueError(f"two rules are called {name}")
        title, sections = read_docstring(inspect.getdoc(function) or "")
        meanings = _input_lines(sections.get("Inputs", ""))
        hints = get_type_hints(function, include_extras=True)
        RULES[name] = Rule(
            name=name,
            title=title,
            function=function,
            parameters=tuple(
                Parameter(
                    parameter.name,
                    _spec(parameter.name, hints[parameter.name]),
                    _several(hints[parameter.name]),
                    meanings.get(parameter.name, ""),
                    parameter.default is parameter.empty,
                    None if parameter.default is parameter.empty else parameter.default,
                )
                for parameter in inspect.signature(function).parameters.values()
            ),
            sections=sections,
            result=hints["return"],
        )
        return function

    return enter


def read_docstring(text: str) -> tuple[str, dict[str, str]]:
    """Title line and the sections of a rule's docstring, each unindented and stripped."""
    title = text.strip().split("\n", 1)[0].rstrip(".")
    sections: dict[str, str] = {}
    parts = re.split(rf"^({'|'.join(SECTIONS)}):", text, flags=re.MULTILINE)
    for heading, body in zip(parts[1::2], parts[2::2], strict=True):
        sections[heading] = inspect.cleandoc(body).strip()
    return title, sections


def _input_lines(text: str) -> dict[str, str]:
    """`name: unit, least to most. Meaning` by name; a line without `name:` continues the last."""
    lines: dict[str, str] = {}
    last = ""
    for line in text.splitlines():
        head = re.match(r"\s*(\w+): (.*)", line)
        if head:
            last = head[1]
            lines[last] = head[2].strip()
        elif last:
            lines[last] += " " + line.strip()
    return lines


def _spec(name: str, hint: Any) -> Spec:
    if get_origin(hint) is Annotated:
        for extra in get_args(hint)[1:]:
            if isinstance(extra, In | OneOf):
                return extra
    for option in get_args(hint):
        if get_origin(option) is Annotated:
            return _spec(name, option)
    plain = [option for option in (hint, *get_args(hint)) if option in (bool, str)]
    if plain:
        return YesNo() if plain[0] is bool else Text()
    raise TypeError(f"{name} is declared with neither a unit and a range nor a list of choices")


def _several(hint: Any) -> bool:
    """Whether a parameter takes a list of numbers: `tuple[...]`, bare, optional or annotated."""
    if get_origin(hint) is Annotated:
        return _several(get_args(hint)[0])
    return get_origin(hint) is tuple or any(
        get_origin(option) is tuple for option in get_args(hint)
    )


def _check(parameter: Parameter, value: Any) -> None:
    if value is None and parameter.default is None and not parameter.required:
        return
    if not parameter.several:
        _check_one(parameter.name, parameter.spec, value)
        return
    if not isinstance(value, list | tuple):
        raise RuleRefusal(parameter.name, "not-a-list")
    if len(value) > MOST_VALUES:
        raise RuleRefusal(parameter.name, "too-many-values", count=len(value), most=MOST_VALUES)
    for one in value:
        _check_one(parameter.name, parameter.spec, one)


def _check_one(name: str, spec: Spec, value: Any) -> None:
    if isinstance(spec, In):
        _check_number(name, spec, value)
    elif isinstance(spec, OneOf):
        if isinstance(value, bool) or value not in spec.choices:
            choices = tuple(str(choice) for choice in spec.choices)
            raise RuleRefusal(name, "not-a-choice", choices=choices, value=clipped(str(value)))
    elif isinstance(spec, YesNo):
        if not isinstance(value, bool):
            raise RuleRefusal(name, "not-yes-or-no")
    elif not isinstance(value, str) or len(value) > spec.longest:
        raise RuleRefusal(name, "text-too-long", most=spec.longest)


def _check_number(name: str, spec: In, value: Any) -> None:
    if (
        isinstance(value, bool)
        or not isinstance(value, int | float)
        or not -sys.float_info.max <= value <= sys.float_info.max
    ):
        raise RuleRefusal(name, "not-a-number")
    if not spec.least <= value <= spec.most:
        raise RuleRefusal(
            name,
            "out-of-range",
            value=Amount(value, spec.unit, spec.span),
            least=Amount(spec.least, spec.unit, spec.span),
            most=Amount(spec.most, spec.unit, spec.span),
        )


def clipped(text: str, longest: int = 40) -> str:
    """The beginning of a text, to quote it in a message."""
    return text if len(text) <= longest else f"{text[:longest]}…"
