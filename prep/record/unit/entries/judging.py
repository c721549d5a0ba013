"""Judging what was typed: a reading or a tool's setting against its limit."""

from fractions import Fraction
from typing import Any

from prep.record.facts import InstrumentFacts
from prep.record.instrument.fitness import expanded_uncertainty, uncertainty_at_limits
from prep.record.procedure.line import Setting
from prep.record.refusal import Refusal
from prep.record.unit import events as e
from prep.record.unit.frozen_limit import FrozenLimit
from prep.record.unit.limits import decision_rule, exact_text, interval_of
from prep.rules.conformity.judgment import SettingAnswer, Verdict, judge
from prep.rules.entries.read import Typed
from prep.rules.quantities.quantity import Measured, canonical, decimal_text


def weighed(
    measured: Measured, limit: FrozenLimit | None, instrument: InstrumentFacts | None
) -> dict[str, Any]:
    """Fields of an entry that follow from a value, its limit and the instrument's uncertainty.

    The verdict is that of a reading of this value.
    """
    value = measured.canonical()
    uncertainty = expanded_uncertainty(instrument, value) if instrument else Fraction(0)
    fields = {
        "verdict": Verdict.NO_LIMIT.value,
        "canonical": decimal_text(value),
        "canonical_unit": canonical(measured.unit.quantity).symbol,
        "expanded_uncertainty": decimal_text(uncertainty) if instrument else "",
    }
    if limit is None:
        return fields
    interval = interval_of(limit)
    assert interval is not None  # what is typed with a unit never has a list as its limit
    at_limits = uncertainty_at_limits(instrument, interval)
    judgment = judge(value, interval, decision_rule(limit), uncertainty, at_limits)
    return {
        **fields,
        "verdict": judgment.verdict.value,
        "probability": f"{judgment.probability:.4f}",
        "uncertainty_low": decimal_text(at_limits.low) if instrument and limit.low else "",
        "uncertainty_high": decimal_text(at_limits.high) if instrument and limit.high else "",
    }


def check_counts(fasteners: int, checked: int, moved: int) -> None:
    """Refuse more fasteners than there are, and more that moved than were gone over."""
    if checked > fasteners:
        raise Refusal("more-than-there-are", field="checked", fasteners=fasteners)
    if moved > checked:
        raise Refusal("more-moved-than-checked", field="moved", checked=checked)


def judged_setting(
    setting: Setting,
    entry: Typed,
    tool: InstrumentFacts | None,
    *,
    overdue: bool,
    fields: dict[str, Any],
) -> e.SettingChecked:
    """A setting judged: the tool first, then whether all were gone over and stood."""
    weights = weighed(entry.measured, fields["limit"], tool)
    found = _OF_TOOL[Verdict(weights.pop("verdict"))]
    if found in {SettingAnswer.IN_LIMIT, SettingAnswer.NO_LIMIT}:
        if fields["checked"] < fields["fasteners"]:
            found = SettingAnswer.LEFT_OUT
        elif setting.may_move is not None and fields["moved"] > setting.may_move:
            found = SettingAnswer.MOVED
    return e.SettingChecked(
        verdict=found.value,
        value=exact_text(entry.measured.value),
        unit=entry.measured.unit.symbol,
        instrument=tool,
        overdue=overdue,
        **weights,
        **fields,
    )


_OF_TOOL = {
    Verdict.CONFORMING: SettingAnswer.IN_LIMIT,
    Verdict.CONFORMING_GUARD: SettingAnswer.NEAR_LIMIT,
    Verdict.NONCONFORMING_GUARD: SettingAnswer.OUT_OF_LIMIT,
    Verdict.NONCONFORMING: SettingAnswer.OUT_OF_LIMIT,
    Verdict.NO_LIMIT: SettingAnswer.NO_LIMIT,
}
