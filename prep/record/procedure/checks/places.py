"""Where the checks stand: a line in its step, with what comes before it."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from prep.record.documents.nodes import Path
from prep.record.procedure.document import Procedure, Step
from prep.record.procedure.line import Line


@dataclass(frozen=True)
class StepAt:
    """A step, its path, and the steps before it in sheet order."""

    procedure: Procedure
    step: Step
    path: Path
    earlier: Mapping[str, Step]

    def at(self, *parts: str | int) -> Path:
        """A path within the step."""
        return (*self.path, *parts)


@dataclass(frozen=True)
class LineAt:
    """A line, its path, and the step it stands in."""

    within: StepAt
    line: Line
    path: Path

    @property
    def procedure(self) -> Procedure:
        """The procedure it is of."""
        return self.within.procedure

    def at(self, *parts: str | int) -> Path:
        """A path within the line."""
        return (*self.path, *parts)

    def before(self) -> dict[str, Line]:
        """The lines before it in its step, by code."""
        found: dict[str, Line] = {}
        for one in self.within.step.lines:
            if one is self.line:
                break
            found[one.line] = one
        return found


def lines_before(at: LineAt, code: str) -> dict[str, Line]:
    """Lines of a step that are answered before this one."""
    if code == at.within.step.step:
        return at.before()
    step = at.within.earlier.get(code)
    return dict(step.by_line) if step else {}


def steps_of(procedure: Procedure) -> Iterator[StepAt]:
    """Every step in sheet order."""
    earlier: dict[str, Step] = {}
    for place, section in enumerate(procedure.sections):
        for number, step in enumerate(section.steps):
            path = ("sections", place, "steps", number)
            yield StepAt(procedure, step, path, dict(earlier))
            earlier[step.step] = step


def lines_of(at: StepAt) -> Iterator[LineAt]:
    """Every line of a step."""
    for number, line in enumerate(at.step.lines):
        yield LineAt(at, line, at.at("lines", number))
