"""The sheet of a unit and its steps."""

from typing import Annotated
from uuid import UUID

import msgspec

from api.answers.sheets import ShownSheet, shown_sheet
from api.inputs import Code, CommandBody, Digest, Long, Pin, ReasonBody, Short, given
from api.operations import View, commands, reads_unit
from api.views.units import AsOf, record_seen
from prep.actions.unit import sheets, steps
from prep.actions.write_path import Command, Outcome


class StartBody(CommandBody, frozen=True, kw_only=True):
    """The procedure; without one, the newest revision that fits model and serial."""

    procedure: Short = ""


class MoveBody(CommandBody, frozen=True, kw_only=True):
    """The revision to move to, and why."""

    procedure: Code
    revision: Annotated[int, msgspec.Meta(ge=1, le=1_000_000)]
    reason: Long


class SignBody(CommandBody, frozen=True, kw_only=True):
    """`seen` is the `seen` of the step that was looked at."""

    seen: Digest
    pin: Pin


class SheetView(View):
    """A procedure revision as worked on one unit."""

    tag = "sheet"

    @reads_unit
    def get(self, unit: UUID, query: AsOf) -> ShownSheet:
        """Look at a unit's sheet.

        Every section, step, line and box, with each entry ever made, what it is held against,
        and what to do about one that does not conform. With `as_of`, as it stood then.
        """
        return shown_sheet(unit, record_seen(unit, query))

    @commands(if_match="optional")
    def post(self, unit: UUID, command: Command, body: StartBody) -> Outcome:
        """Start a unit's sheet."""
        return sheets.start(actor=self.person, command=command, unit=unit, **given(body))


class SheetMoveView(View):
    """Another revision."""

    tag = "sheet"

    @commands(if_match="required")
    def post(self, unit: UUID, command: Command, body: MoveBody) -> Outcome:
        """Move a sheet to another revision of its procedure.

        Steps that differ re-open; those that do not keep their entries and sign-offs.
        """
        return sheets.move(actor=self.person, command=command, unit=unit, **given(body))


class CautionsView(View):
    """The cautions of a step."""

    tag = "sheet"

    @commands(if_match="optional")
    def post(self, unit: UUID, step: str, command: Command, body: CommandBody) -> Outcome:
        """Acknowledge the cautions of a step."""
        return steps.acknowledge(actor=self.person, command=command, unit=unit, step=step)


class SkipView(View):
    """A step that does not apply."""

    tag = "sheet"

    @commands(if_match="optional")
    def post(self, unit: UUID, step: str, command: Command, body: ReasonBody) -> Outcome:
        """Mark a step not applicable."""
        return steps.skip(
            actor=self.person, command=command, unit=unit, step=step, reason=body.reason
        )


class StepReopenView(View):
    """A step to be worked again."""

    tag = "sheet"

    @commands(if_match="optional")
    def post(self, unit: UUID, step: str, command: Command, body: ReasonBody) -> Outcome:
        """Re-open a step."""
        return steps.reopen(
            actor=self.person, command=command, unit=unit, step=step, reason=body.reason
        )


class SignView(View):
    """A step signed as prepared."""

    tag = "sheet"

    @commands(if_match="optional")
    def post(self, unit: UUID, step: str, command: Command, body: SignBody) -> Outcome:
        """Sign a step as prepared."""
        return steps.sign(actor=self.person, command=command, unit=unit, step=step, **given(body))


class SecondView(View):
    """A step checked by a second person."""

    tag = "sheet"

    @commands(if_match="optional")
    def post(self, unit: UUID, step: str, command: Command, body: SignBody) -> Outcome:
        """Check a step as second person."""
        return steps.check_as_second(
            actor=self.person, command=command, unit=unit, step=step, **given(body)
        )
