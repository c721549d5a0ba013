"""Schema of a procedure: the preparation steps of a model, in order, as data.

A document is YAML with exactly the fields of the structs below; whatever is missing, misspelled or
of the wrong type is named with its path and its line. A revision in
force never changes; a unit's sheet is pinned to one revision by its digest.
"""

from enum import StrEnum
from functools import cached_property
from typing import Annotated, Final, Literal

import msgspec

from prep.record.fields import FILLED
from prep.record.procedure.line import Code, Line, Text, Word, chosen_by, paths
from prep.rules.identity.serial_schemes import SerialRange

Title = Annotated[str, msgspec.Meta(pattern=FILLED, max_length=200)]
Revision = Annotated[int, msgspec.Meta(ge=1, le=1_000_000)]
Minutes = Annotated[int, msgspec.Meta(ge=0, le=10_000)]


class StepKind(StrEnum):
    """Kind of step."""

    CHECK = "check"
    MEASURE = "measure"
    ADJUST = "adjust"
    FILL = "fill"
    TORQUE = "torque"
    FIT = "fit"
    INSTRUCT = "instruct"


class Hazard(StrEnum):
    """Safe state of the machine that one step makes and dangerous work in another requires."""

    DECK_BLOCKED = "deck blocked"
    WHEELS_CHOCKED = "wheels chocked"
    CYLINDERS_CYCLED = "cylinders filled and cycled"
    AREA_CLEAR = "area clear"
    SHIELDS_FITTED = "shields fitted"
    FASTENERS_DONE = "fasteners done"
    TIRE_CAGED = "tire caged"


class Work(StrEnum):
    """Dangerous work, by what it exposes a person to."""

    UNDER_RAISED_DECK = "under a raised deck"
    LOCK_OUT = "transport lock out"
    UNFOLD = "unfold"
    DRIVE_ENGAGED = "drive engaged"
    INFLATE = "inflate"
    COUPLE = "couple to a tractor"


# Safe states required before each kind of dangerous work. Common practice, no published source;
# the order itself follows the manufacturers' manuals that the cautions refer to.
MUST_FIND: Final[dict[Work, frozenset[Hazard]]] = {
    Work.UNDER_RAISED_DECK: frozenset({Hazard.DECK_BLOCKED}),
    Work.LOCK_OUT: frozenset({Hazard.CYLINDERS_CYCLED}),
    Work.UNFOLD: frozenset({Hazard.AREA_CLEAR, Hazard.CYLINDERS_CYCLED}),
    Work.DRIVE_ENGAGED: frozenset(
        {Hazard.SHIELDS_FITTED, Hazard.FASTENERS_DONE, Hazard.AREA_CLEAR}
    ),
    Work.INFLATE: frozenset({Hazard.TIRE_CAGED}),
    Work.COUPLE: frozenset({Hazard.WHEELS_CHOCKED}),
}


class When(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """When a step applies: every condition given must hold. Values are compared as text."""

    options: tuple[str, ...] = ()
    without_options: tuple[str, ...] = ()
    model: dict[str, tuple[str | int, ...]] = {}
    tractor: dict[str, tuple[str | int, ...]] = {}


class Consumable(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Material that a step uses up."""

    item: Title
    amount: str = ""


class Step(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True, dict=True):
    """One step of a sheet."""

    step: Code
    title: Title
    kind: StepKind
    do: Text
    lines: tuple[Line, ...]
    cautions: tuple[Code, ...] = ()
    who: tuple[Literal["technician", "service manager"], ...] = ("technician", "service manager")
    after: tuple[Code, ...] = ()
    makes: tuple[Hazard, ...] = ()
    work: tuple[Work, ...] = ()
    when: When = When()
    tractor: bool = False
    second_person: bool = False
    skip: Literal["never", "service manager", "technician"] = "service manager"
    consumables: tuple[Consumable, ...] = ()
    minutes: Minutes = 0

    @cached_property
    def by_line(self) -> dict[Code, Line]:
        """Lines by code."""
        return {line.line: line for line in self.lines}

    @cached_property
    def boxes(self) -> tuple[tuple[Code, str], ...]:
        """Every (line, position) of the step, in order."""
        return tuple((line.line, box) for line in self.lines for box in line.boxes)

    @cached_property
    def needs_tractor(self) -> bool:
        """Whether the step depends on the buyer's tractor."""
        return self.tractor or bool(self.when.tractor) or self._reads("tractor.")

    @cached_property
    def needs_model(self) -> bool:
        """Whether the step depends on the model's data or on the unit's options."""
        when = self.when
        by_unit = bool(when.model or when.options or when.without_options)
        by_unit |= any(chosen.options for line in self.lines if (chosen := chosen_by(line)))
        return by_unit or self._reads("model.")

    def _reads(self, start: str) -> bool:
        return any(path.startswith(start) for line in self.lines for path in paths(line))


class Caution(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A hazard text shown before the step it protects. The severity words are ISO 11684's."""

    severity: Literal["DANGER", "WARNING", "CAUTION"]
    text: Text


class Section(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Steps that belong together on the sheet and on the certificate."""

    section: Code
    title: Title
    steps: tuple[Step, ...]


class Procedure(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True, dict=True):
    """One revision of a procedure."""

    procedure: Code
    revision: Revision
    title: Title
    models: tuple[Word, ...]
    manual: Text
    note: Text
    sections: tuple[Section, ...]
    cautions: dict[Code, Caution] = {}
    serials: SerialRange | None = None

    @cached_property
    def steps(self) -> dict[Code, Step]:
        """Steps by code, in sheet order."""
        return {step.step: step for section in self.sections for step in section.steps}

    @cached_property
    def tractor_lines(self) -> tuple[tuple[Code, Line], ...]:
        """The lines that depend on data of the buyer's tractor, with the codes of their steps."""
        return tuple(
            (code, line)
            for code, step in self.steps.items()
            for line in step.lines
            if any(path.startswith("tractor.") for path in paths(line))
        )

    @cached_property
    def section_of(self) -> dict[Code, Section]:
        """Section of each step, by step code."""
        return {step.step: section for section in self.sections for step in section.steps}
