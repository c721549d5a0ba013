"""What stands twice, refers to nothing, or can never be reached."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Final

from prep.record.documents.nodes import Path
from prep.record.documents.problems import Problem, nearest
from prep.record.facts import ModelFacts
from prep.record.procedure.checks.known import Known
from prep.record.procedure.checks.places import LineAt, StepAt, steps_of
from prep.record.procedure.document import Procedure
from prep.record.procedure.line import Extremes, Schematic, Takes
from prep.rules.quantities.quantity import QUANTITIES

MOST_LINES: Final = 2000  # in a procedure; the longest known has 150
MOST_MODELS: Final = 100


def document(procedure: Procedure, known: Known) -> Iterator[Problem]:
    """The whole: its models, its codes."""
    if not procedure.models:
        yield Problem("models-missing", ("models",))
    if not procedure.sections:
        yield Problem("sections-missing", ("sections",))
    yield from twice(procedure.models, ("models",))
    for place, code in enumerate(procedure.models):
        if code not in known.models.machines:
            allowed = nearest(code, known.models.codes)
            yield Problem("model-unknown", ("models", place), {"model": code}, allowed)
    yield from _codes_twice(procedure)


def _codes_twice(procedure: Procedure) -> Iterator[Problem]:
    sections: set[str] = set()
    for place, section in enumerate(procedure.sections):
        if section.section in sections:
            path: Path = ("sections", place, "section")
            yield Problem("section-twice", path, {"section": section.section})
        sections.add(section.section)
        if not section.steps:
            yield Problem("section-without-steps", ("sections", place, "steps"))
    for at in steps_of(procedure):
        if at.step.step in at.earlier:
            yield Problem("step-twice", at.at("step"), {"step": at.step.step})


def too_large(procedure: Procedure) -> Problem | None:
    """A procedure beyond the bounds of what is checked."""
    if len(procedure.models) > MOST_MODELS:
        return Problem("models-many", ("models",), {"most": MOST_MODELS})
    lines = sum(len(step.lines) for section in procedure.sections for step in section.steps)
    return (
        Problem("lines-many", ("sections",), {"most": MOST_LINES}) if lines > MOST_LINES else None
    )


def step(at: StepAt, known: Known) -> Iterator[Problem]:
    """One step: its lines' codes, what it comes after, its cautions and materials."""
    seen: set[str] = set()
    for place, line in enumerate(at.step.lines):
        if line.line in seen:
            yield Problem("line-twice", at.at("lines", place, "line"), {"line": line.line})
        seen.add(line.line)
    if not at.step.lines:
        yield Problem("step-without-lines", at.at("lines"))
    yield from _asked_of(at)
    yield from _after(at)
    for place, code in enumerate(at.step.cautions):
        if code not in at.procedure.cautions:
            allowed = nearest(code, tuple(at.procedure.cautions))
            yield Problem("caution-unknown", at.at("cautions", place), {"caution": code}, allowed)
    for name in ("after", "cautions", "who", "makes", "work"):
        yield from twice(getattr(at.step, name), at.at(name))
    if not at.step.who:
        yield Problem("who-missing", at.at("who"))
    items = tuple(one.item for one in at.step.consumables)
    yield from twice(items, at.at("consumables"), "item")
    yield from when(at, known)


def _asked_of(at: StepAt) -> Iterator[Problem]:
    """A line that may stay empty where something has to be done: to be safe, or at all."""
    optional = [place for place, one in enumerate(at.step.lines) if one.asked_of != "every-unit"]
    if at.step.makes or len(optional) == len(at.step.lines):
        for place in optional[:1]:
            yield Problem("line-of-every-unit", at.at("lines", place, "asked_of"))


def _after(at: StepAt) -> Iterator[Problem]:
    for place, code in enumerate(at.step.after):
        path = at.at("after", place)
        if code not in at.earlier:
            allowed = nearest(code, tuple(at.earlier))
            yield Problem("step-after-later", path, {"step": code}, allowed)
        elif at.earlier[code].needs_tractor and not at.step.needs_tractor:
            yield Problem("step-after-tractor", path, {"step": code})


def when(at: StepAt, known: Known) -> Iterator[Problem]:
    """Conditions: options and data that the models have, values that one of them has."""
    condition = at.step.when
    models = [
        known.models.machines[code] for code in at.procedure.models if code in known.models.machines
    ]
    options = tuple(dict.fromkeys(one for model in models for one in model.options))
    for name in ("options", "without_options"):
        yield from twice(getattr(condition, name), at.at("when", name))
        for place, option in enumerate(getattr(condition, name)):
            if models and option not in options:
                path, allowed = at.at("when", name, place), nearest(option, options)
                yield Problem("option-unknown", path, {"option": option}, allowed)
    for place, option in enumerate(condition.without_options):
        if option in condition.options:
            path = at.at("when", "without_options", place)
            yield Problem("option-both", path, {"option": option})
    yield from _when_data(condition.model, models, at.at("when", "model"), values_too=True)
    tractors = list(known.models.tractors.values())
    yield from _when_data(condition.tractor, tractors, at.at("when", "tractor"), values_too=False)


def _when_data(
    wanted: Mapping[str, Sequence[str | int]],
    facts: Sequence[ModelFacts],
    path: Path,
    *,
    values_too: bool,
) -> Iterator[Problem]:
    """Conditions on data. Tractors are bought by anybody, so their values are not held together."""
    names = tuple(dict.fromkeys(name for one in facts for name in one.data))
    for name, values in wanted.items():
        if not values:
            yield Problem("when-empty", (*path, name))
        if facts and name not in names:
            yield Problem("data-unknown", (*path, name), {"name": name}, nearest(name, names), name)
            continue
        there = tuple(dict.fromkeys(str(one.data[name]) for one in facts if name in one.data))
        for place, value in enumerate(values):
            if values_too and there and str(value) not in there:
                allowed = nearest(str(value), there)
                place_of = (*path, name, place)
                yield Problem("when-value", place_of, {"value": str(value), "name": name}, allowed)


def line(at: LineAt, known: Known) -> Iterator[Problem]:
    """One line: its quantity or choices, positions, what it comes after, its instrument."""
    one = at.line
    if one.quantity and one.choices:
        yield Problem("quantity-and-choices", at.at("choices"))
    if one.quantity and one.quantity not in QUANTITIES:
        allowed = nearest(one.quantity, tuple(QUANTITIES))
        yield Problem("quantity-unknown", at.at("quantity"), {}, allowed)
    for name in ("choices", "positions", "after"):
        yield from twice(getattr(one, name), at.at(name))
    before = tuple(at.before())
    for place, code in enumerate(one.after):
        if code not in before:
            path, allowed = at.at("after", place), nearest(code, before)
            yield Problem("line-after-later", path, {"line": code}, allowed)
    yield from _instrument(at, known)
    if one.setting:
        yield from _setting(at)
    if one.extremes:
        yield from _extremes(at, one.extremes)
    if one.schematic:
        yield from _schematic(at, one.schematic)


def _schematic(at: LineAt, schematic: Schematic) -> Iterator[Problem]:
    """A point for each position, and none for anything else, within the view."""
    path = at.at("schematic", "at")
    for position, point in schematic.at.items():
        where = (*path, position)
        if position not in at.line.positions:
            allowed = nearest(position, at.line.positions)
            yield Problem("point-of-no-position", where, {"position": position}, allowed, position)
        elif len(point) != 2 or not all(0 <= part <= 100 for part in point):
            yield Problem("point-unfit", where, {"position": position})
    # Under a name that is no position there may be the point of the one that lacks its own.
    missing = [one for one in at.line.positions if one not in schematic.at]
    if missing and len(missing) + len(schematic.at) <= len(at.line.positions):
        yield Problem("point-missing", path, {"position": missing[0]})


def _extremes(at: LineAt, extremes: Extremes) -> Iterator[Problem]:
    """Both ends of a limit are held against a reading that can pass them: the lowest, the highest.

    An upper end that is asked of the lowest alone is passed by all the others unseen.
    """
    path, limit = at.at("extremes"), at.line.limit
    if at.line.takes is not Takes.READING:
        yield Problem("extremes-without-reading", path)
    if at.line.positions:
        yield Problem("extremes-with-positions", at.at("positions"))
    if not extremes.named:
        yield Problem("extremes-unnamed", path)
    elif extremes.lowest == extremes.highest:
        yield Problem("member-twice", (*path, "highest"), {"member": extremes.highest})
    elif limit and extremes.highest is None and (limit.at_most or limit.nominal):
        yield Problem("highest-missing", path)
    elif limit and extremes.lowest is None and (limit.at_least or limit.nominal):
        yield Problem("lowest-missing", path)


def _setting(at: LineAt) -> Iterator[Problem]:
    """A setting is of a tool, in a quantity; no advice corrects what nobody measured."""
    guarded = at.line.limit is not None and at.line.limit.decision == "guarded"
    if not at.line.quantity:
        yield Problem("setting-without-quantity", at.at("setting"))
    elif at.line.instrument is None and not guarded:  # which asks for the instrument, too
        yield Problem("setting-without-instrument", at.at("setting"))
    if at.line.advice is not None:
        yield Problem("setting-with-advice", at.at("advice"))


def _instrument(at: LineAt, known: Known) -> Iterator[Problem]:
    need = at.line.instrument
    if need is None:
        return
    path = at.at("instrument", "kind")
    if not at.line.quantity:
        yield Problem("instrument-without-quantity", at.at("instrument"))
    elif known.kinds and need.kind not in known.kinds:
        allowed = nearest(need.kind, tuple(known.kinds))
        yield Problem("instrument-unknown", path, {"kind": need.kind}, allowed)
    elif known.kinds and at.line.quantity in QUANTITIES.keys() - known.kinds[need.kind]:
        able = tuple(kind for kind, measures in known.kinds.items() if at.line.quantity in measures)
        values = {"kind": need.kind, "quantity": at.line.quantity}
        yield Problem("instrument-quantity", path, values, nearest(need.kind, able))


def twice(members: Sequence[str], path: Path, *inner: str) -> Iterator[Problem]:
    """Members of a list that stand there a second time."""
    seen: set[str] = set()
    for place, member in enumerate(members):
        if member in seen:
            yield Problem("member-twice", (*path, place, *inner), {"member": member})
        seen.add(member)
