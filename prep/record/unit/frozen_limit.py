"""A limit as events keep it: in canonical units, as stated, and how it was computed."""

import msgspec


class StatedBound(msgspec.Struct, frozen=True):
    """A value of a limit, in the unit the procedure or the model's data states it in.

    Where neither states a unit it is in the record's, and `unit_stated` is false.
    """

    value: str
    unit: str
    unit_stated: bool = True


class StatedLimit(msgspec.Struct, frozen=True):
    """A limit as the procedure states it: around a nominal value, or between bounds.

    `plus` and `minus` are in the unit of `nominal`.
    """

    nominal: StatedBound | None = None
    plus: str = ""
    minus: str = ""
    at_least: StatedBound | None = None
    at_most: StatedBound | None = None


class InputUsed(msgspec.Struct, frozen=True):
    """An input of a rule: its value in the rule's unit, and the path it was read from, if any."""

    value: str
    path: str = ""


class Computation(msgspec.Struct, frozen=True):
    """A rule called for a unit, with its inputs and its result.

    The result is a number as text in `unit`, or several by name. Title, formula and source are
    those of the rule. `assumed` are the inputs that nobody gave and the rule took at its general
    value; `decided_by` says, where the rule chooses, whether the manufacturer's value or a general
    one decided.
    """

    rule: str
    inputs: dict[str, InputUsed]
    result: str | dict[str, str]
    unit: str = ""
    assumed: dict[str, str] = {}
    decided_by: str = ""


class FrozenLimit(msgspec.Struct, frozen=True):
    """A limit as it was when a reading was judged against it; `low` and `high` in canonical units.

    `stated` is the limit as the procedure states it, `computed` the rule by which it was computed.
    Where that rule fell back on a general value, source and basis are the rule's, not the
    procedure's.
    """

    source: str
    basis: str
    low: str = ""
    high: str = ""
    quantity: str = ""
    one_of: tuple[str, ...] = ()
    decision: str = "simple"
    guard: str = ""
    stated: StatedLimit = StatedLimit()
    computed: Computation | None = None
