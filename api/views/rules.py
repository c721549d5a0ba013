"""Endpoints of rules: list, look at, compute, and judge an entry."""

from fractions import Fraction
from typing import Annotated, Any, Literal

import msgspec

from api.inputs import Body, Code, Name, Query, Short
from api.operations import View, asks, reads
from prep.queries.instruments import instrument_at
from prep.queries.people import sites_of
from prep.queries.readers import reader_of
from prep.record.fields import UnitSymbol
from prep.record.refusal import Refusal
from prep.record.token.scopes import READ
from prep.record.unit.views.entry_preview import judge_entry
from prep.rules.answers import all_rules  # noqa: F401 - fills the catalog
from prep.rules.answers.answer import Understood, Value, calculate, find_rule
from prep.rules.catalog.catalog import RULES, In, OneOf, Parameter, Rule, RuleRefusal, Spec, YesNo
from prep.rules.conformity.judgment import DecisionRule
from prep.rules.drawings.shapes import to_svg
from prep.words.reader import Reader
from prep.words.rules import results
from prep.words.rules.drawings import DrawingWords
from prep.words.rules.titles import title

Written = str | int | float | bool | list[str | int | float | bool]


class ShownInput(msgspec.Struct, frozen=True, kw_only=True):
    """An input of a rule.

    `sort` is quantity, choice, yes-no or text. A quantity has the unit the rule computes in
    and the range it holds for, but may be written in any unit of its kind.
    """

    name: str
    meaning: str
    sort: str
    unit: str
    least: float | None
    most: float | None
    choices: list[str]
    several: bool
    required: bool


class RuleRow(msgspec.Struct, frozen=True, kw_only=True):
    """A rule in the list."""

    rule: str
    title: str


class RuleList(msgspec.Struct, frozen=True, kw_only=True):
    """Rules by name."""

    items: list[RuleRow]


class ShownRule(msgspec.Struct, frozen=True, kw_only=True):
    """A rule: its inputs, formula, source, and an example from the source."""

    rule: str
    title: str
    inputs: list[ShownInput]
    result: str
    formula: str
    source: str
    example: str


class RuleQuery(Query, frozen=True, kw_only=True):
    """Filters of the list."""

    topic: Annotated[str, msgspec.Meta(description="Such as “blades”.")] = ""


class WorkBody(Body, frozen=True, kw_only=True):
    """Inputs by name, as people write them: “72 in”, “800 rpm”, “yes”; a list where several.

    Null counts as left out.
    """

    inputs: dict[str, Written | None] = {}


class ShownValue(msgspec.Struct, frozen=True, kw_only=True):
    """A value of an answer: in SI, and as people read it, in each usual unit or in words.

    A finding is a stable token. What takes more than a token is a list of codes with values.
    """

    name: str
    value: Any
    unit: str
    shown: tuple[str, ...]


class ShownWork(msgspec.Struct, frozen=True, kw_only=True):
    """A rule's answer with the inputs as understood, in SI and in usual units.

    `drawings` are SVG documents, for the rules that have them.
    """

    rule: str
    title: str
    formula: str
    source: str
    inputs: tuple[Understood, ...]
    results: list[ShownValue]
    advice: tuple[str, ...]
    drawings: list[str]


class JudgeBody(Body, frozen=True, kw_only=True):
    """An entry, and the limits to judge it against.

    The uncertainty is the expanded one (k = 2), or is computed from the instrument named.
    """

    text: Annotated[str, msgspec.Meta(max_length=400)]
    quantity: Short
    unit: UnitSymbol = ""
    at_least: Name = ""
    at_most: Name = ""
    decision: Literal["simple", "guarded"] = "simple"
    guard: Annotated[
        str, msgspec.Meta(pattern=r"^[0-9](\.[0-9]{1,6})?$", description="0.83 for 95 %.")
    ] = "0.83"
    expanded_uncertainty: Name = ""
    instrument: Annotated[str, msgspec.Meta(max_length=40)] = ""


class ShownJudgment(msgspec.Struct, frozen=True, kw_only=True):
    """A verdict, and the probability that the true value conforms.

    Numbers are decimal text in `unit`; `drawing` is an SVG of the reading against its limits.
    """

    typed: str
    value: str
    unit: str
    low: str
    high: str
    expanded_uncertainty: str
    guard_low: str
    guard_high: str
    accept_low: str
    accept_high: str
    decidable: bool
    verdict: str
    probability: float
    drawing: str


class RulesView(View):
    """The catalog of rules."""

    tag = "rules"
    reading = READ

    @reads
    def get(self, query: RuleQuery) -> RuleList:
        """List rules."""
        start = f"{query.topic}." if query.topic else ""
        reader = reader_of(self.person)
        return RuleList(
            items=[
                RuleRow(rule=rule.name, title=title(rule.name, reader))
                for name, rule in sorted(RULES.items())
                if name.startswith(start)
            ]
        )


class RuleView(View):
    """One rule."""

    tag = "rules"
    reading = READ
    asking = READ

    @reads
    def get(self, rule: Code) -> ShownRule:
        """Look at a rule."""
        shown = _rule(rule)
        return ShownRule(
            rule=shown.name,
            title=title(shown.name, reader_of(self.person)),
            inputs=[_input(parameter) for parameter in shown.parameters],
            result=shown.sections["Result"],
            formula=shown.sections["Formula"],
            source=shown.sections["Source"],
            example=shown.sections["Example"].partition("\n\n")[0],
        )

    @asks
    def post(self, rule: Code, body: WorkBody) -> ShownWork:
        """Work a rule out.

        Nothing is recorded. An ambiguous input is refused with `choices`.
        """
        written = {name: value for name, value in body.inputs.items() if value is not None}
        reader = reader_of(self.person)
        answer = calculate(
            _rule(rule).name,
            written,
            DrawingWords(reader),
            decimal_comma=self.person.decimal_comma,
        )
        return ShownWork(
            rule=answer.rule,
            title=title(answer.rule, reader),
            formula=answer.formula,
            source=answer.source,
            inputs=answer.inputs,
            results=[_value(value, reader) for value in answer.results],
            advice=results.advice_of(answer, reader),
            drawings=[to_svg(drawing) for drawing in answer.drawings],
        )


class JudgeView(View):
    """Judging an entry."""

    tag = "rules"
    asking = READ

    @asks
    def post(self, body: JudgeBody) -> ShownJudgment:
        """Judge an entry without recording it.

        The decision rules are those of the sheets: simple acceptance at the limit, or a guard
        band of `guard` times the expanded uncertainty.
        """
        facts = None
        if body.instrument:
            _, facts = instrument_at(body.instrument, sites_of(self.person))
        preview = judge_entry(
            body.text,
            body.quantity,
            at_least=body.at_least,
            at_most=body.at_most,
            rule=DecisionRule(body.decision, Fraction(body.guard)),
            words=DrawingWords(reader_of(self.person)),
            uncertainty=body.expanded_uncertainty,
            instrument=facts,
            decimal_comma=self.person.decimal_comma,
            chosen=body.unit,
        )
        members = {name: getattr(preview, name) for name in ShownJudgment.__struct_fields__}
        return ShownJudgment(**{**members, "drawing": to_svg(preview.drawing)})


def _rule(name: str) -> Rule:
    try:
        return find_rule(name)
    except RuleRefusal as no:
        raise Refusal("no-such-rule", why=no.phrase) from no


def _value(value: Value, reader: Reader) -> ShownValue:
    return ShownValue(
        name=value.name,
        value=msgspec.to_builtins(value.value),
        unit=value.unit,
        shown=results.shown(value, reader),
    )


def _input(parameter: Parameter) -> ShownInput:
    spec = parameter.spec
    return ShownInput(
        name=parameter.name,
        meaning=parameter.meaning,
        sort=_sort(spec),
        unit=spec.unit if isinstance(spec, In) else "",
        least=spec.least if isinstance(spec, In) else None,
        most=spec.most if isinstance(spec, In) else None,
        choices=[str(choice) for choice in spec.choices] if isinstance(spec, OneOf) else [],
        several=parameter.several,
        required=parameter.required,
    )


def _sort(spec: Spec) -> str:
    if isinstance(spec, In):
        return "quantity"
    if isinstance(spec, OneOf):
        return "choice"
    return "yes-no" if isinstance(spec, YesNo) else "text"
