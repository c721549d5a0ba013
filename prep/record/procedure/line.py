"""Schema of a line: what one box of a step asks, and what it is held against."""

from collections.abc import Iterator
from enum import StrEnum
from typing import Annotated, Any, Final, Literal

import msgspec

from prep.record.fields import FILLED
from prep.rules.phrase import Misfit

# Codes stand in addresses and, with points between them, in paths.
Code = Annotated[str, msgspec.Meta(pattern="^[A-Za-z0-9][A-Za-z0-9_-]*$", max_length=40)]
Word = Annotated[str, msgspec.Meta(pattern=FILLED, max_length=60)]
# A path ends with a position.
Position = Annotated[
    str,
    msgspec.Meta(
        pattern=r"^[^.]*[^.\s][^.]*$", max_length=60, extra={"malformed": "position-unfit"}
    ),
]
Short = Annotated[str, msgspec.Meta(max_length=20)]
Text = Annotated[str, msgspec.Meta(pattern=FILLED, max_length=4000)]
Guard = Annotated[
    str,
    msgspec.Meta(
        pattern=r"^[0-9](\.[0-9]{1,6})?$", max_length=8, extra={"malformed": "guard-unfit"}
    ),
]


class Computed(
    msgspec.Struct,
    frozen=True,
    forbid_unknown_fields=True,
    rename={"path": "from", "inputs": "with"},
):
    """A value computed for the unit: read `from` a path, or computed by a named `rule`.

    A path is `model.<field>`, `tractor.<field>`, `reading.<step>.<line>` or
    `reading.<step>.<line>.<position>`; an advice also has its own reading and `limit.low`,
    `limit.high`, `limit.middle`. An input of a rule is a path, a quantity as text ("6 in"), a
    whole number or yes/no. `field` picks one value of a result that has several.
    """

    path: str = ""
    rule: str = ""
    inputs: dict[str, str | int | bool] = {}
    field: str = ""

    def __post_init__(self) -> None:
        if bool(self.path) == bool(self.rule):
            raise Misfit("from-or-rule")


Bound = str | Computed


class Chosen(msgspec.Struct, frozen=True, forbid_unknown_fields=True, rename={"path": "from"}):
    """The accepted choices of a line, where they depend on the unit.

    Read `from` a path: a word or a list of words of `model.<field>` or `tractor.<field>`, or the
    choice made at `reading.<step>.<line>`, with its position if it has several. Or by the unit's
    `options`, each with the choices it asks for, and `otherwise` those of a unit with none of them.
    """

    path: str = ""
    options: dict[str, tuple[Word, ...]] = {}
    otherwise: tuple[Word, ...] = ()

    def __post_init__(self) -> None:
        if bool(self.path) == bool(self.options and self.otherwise):
            raise Misfit("from-or-options")


LIMIT_PARTS: Final = frozenset({"low", "high", "middle"})


class Limit(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A limit that a reading is judged against. The ends belong to the permitted interval.

    Exactly one form: `nominal` with `tolerance` (or with `plus` and `minus`), `at_least` and/or
    `at_most`, or `one_of`. `decision` is the decision rule for measurement uncertainty:
    simple acceptance at the limit, or guarded with a band of `guard` times the expanded
    uncertainty (0.83 for 95 %, ISO 14253-1).

    `basis` says whose limit it is: the manufacturer's own figure, one calculated from the
    manufacturer's data, a standard's, or common practice. It has no default, because a general
    value must never pass for the manufacturer's. `unit` is the one its source prints, where a rule
    computes it.
    """

    source: Text
    basis: Literal["manufacturer", "calculated", "standard", "common-practice"]
    nominal: Bound | None = None
    tolerance: str = ""
    plus: str = ""
    minus: str = ""
    at_least: Bound | None = None
    at_most: Bound | None = None
    one_of: tuple[Word, ...] | Chosen = ()
    decision: Literal["simple", "guarded"] = "simple"
    guard: Guard = "0.83"
    unit: Short = ""


class InstrumentNeed(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """The kind of instrument a reading is taken with, and what to do when it is past due."""

    kind: Word
    overdue: Literal["refuse", "flag"] = "refuse"


class Setting(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Fasteners gone over with a tool that clicks at what it is set to; nothing is measured.

    `fasteners` is how many there are, a count or a path to one. `may_move` is how many may turn
    before the tool clicks: 0 where they were tightened before and must stand; left out where the
    line tightens them.
    """

    fasteners: Bound
    may_move: Annotated[int, msgspec.Meta(ge=0, le=1000)] | None = None


class Expectation(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What a reading should come to by what is known already; one that differs is asked about.

    It is no limit: `within` is a width or a per cent either way, beyond which one of the values is
    likely wrong. `because` says what it follows from.
    """

    value: Bound
    within: str
    because: Text


class Extremes(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What the two boxes of a line are called that asks for the least and the greatest of many.

    Each is judged against both ends of the limit. One may be left out where the limit has no end
    on its side.
    """

    lowest: Position | None = None
    highest: Position | None = None

    @property
    def named(self) -> tuple[Position, ...]:
        """The boxes there are."""
        return tuple(one for one in (self.lowest, self.highest) if one is not None)


class Schematic(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Where the positions of a line are, in a view of the machine as it stands on its wheels.

    A point is across and down, in per cent of the view from its upper left corner. From above, the
    machine travels toward the upper edge.
    """

    view: Literal["above", "front", "rear", "left", "right"]
    at: dict[Position, tuple[int, ...]]


class Takes(StrEnum):
    """What a line takes: the kind of its entries."""

    CHECK = "check"
    CHOICE = "choice"
    READING = "reading"
    SETTING = "setting"


class Line(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """One box of a step: a yes/no check, a choice, a reading of a quantity, or a tool's setting.

    With `quantity` it takes a typed measurement; with `setting` too, what a tool was set to and how
    many fasteners were gone over with it; with `choices`, one of the words listed; with none of
    them, it is a yes/no check. Each of `positions` is a box of its own; of `extremes`, the lowest
    and the highest of many that were measured. One that is not `asked_of` every unit holds up
    nothing while it is empty.
    """

    line: Code
    ask: Text
    quantity: str = ""
    choices: tuple[Word, ...] = ()
    positions: tuple[Position, ...] = ()
    schematic: Schematic | None = None
    extremes: Extremes | None = None
    setting: Setting | None = None
    expects: Expectation | None = None
    limit: Limit | None = None
    instrument: InstrumentNeed | None = None
    photo: bool = False
    asked_of: Literal["every-unit", "first-of-shipment", "suspected-fault"] = "every-unit"
    after: tuple[Code, ...] = ()
    advice: Computed | None = None

    @property
    def places(self) -> tuple[str, ...]:
        """What its boxes are called, where there are several."""
        return self.extremes.named if self.extremes else self.positions

    @property
    def boxes(self) -> tuple[str, ...]:
        """The places, or one box without a name."""
        return self.places or ("",)

    @property
    def takes(self) -> Takes:
        """The kind of its entries."""
        if self.setting:
            return Takes.SETTING
        if self.quantity:
            return Takes.READING
        return Takes.CHOICE if self.choices else Takes.CHECK


def rule_calls(line: Line) -> Iterator[Computed]:
    """The rule computations a line uses."""
    for bound in (*bounds(line.limit), line.expects and line.expects.value, line.advice):
        if isinstance(bound, Computed) and bound.rule:
            yield bound


def bounds(limit: Limit | None) -> Iterator[Bound]:
    """The bounds that a limit states."""
    if limit:
        for bound in (limit.nominal, limit.at_least, limit.at_most):
            if bound is not None:
                yield bound


def paths(line: Line) -> Iterator[str]:
    """The paths a line refers to: model data, tractor data and earlier readings."""
    further = (line.setting and line.setting.fasteners, line.expects and line.expects.value)
    for bound in (*bounds(line.limit), *further):
        if isinstance(bound, Computed) and bound.path:
            yield bound.path
    chosen = chosen_by(line)
    if chosen and chosen.path:
        yield chosen.path
    for call in rule_calls(line):
        yield from (str(value) for value in call.inputs.values() if is_reference(value))


def chosen_by(line: Line) -> Chosen | None:
    """What the accepted choices of a line depend on; None where they are stated, or none are."""
    one_of = line.limit.one_of if line.limit else ()
    return one_of if isinstance(one_of, Chosen) else None


def is_reference(value: Any) -> bool:
    """Whether a rule's input is a path and not a literal value."""
    where, dot, _ = value.partition(".") if isinstance(value, str) else ("", "", "")
    return bool(dot) and where in {"model", "tractor", "reading", "limit"}
