"""Endpoints of a unit's sheet and its steps."""

from typing import Annotated
from uuid import UUID

import msgspec

from api.answers.sheets import ShownSheet, shown_sheet
from api.inputs import Code, CommandBody, Digest, Long, Pin, ReasonBody, Short, given
from api.operations import View, commands, reads_unit
from api.views.units import AsOf, record_seen
from prep.actions.unit import sheets, steps
from prep.actions.write_path import Command, Outcome
from prep.queries.readers import reader_of


class StartBody(CommandBody, frozen=True, kw_only=True):
    """The procedure; without one, the newest revision that fits the model and serial number."""

    procedure: Short = ""


class MoveBody(CommandBody, frozen=True, kw_only=True):
    """The revision to move to, and why."""

    procedure: Code
    revision: Annotated[int, msgspec.Meta(ge=1, le=1_000_000)]
    reason: Long


class SignBody(CommandBody, frozen=True, kw_only=True):
    """A signature; `seen` is the `seen` of the step as you read it."""

    seen: Digest
    pin: Pin


class SheetView(View):
    """The sheet of a unit."""

    tag = "sheet"

    @reads_unit
    def get(self, unit: UUID, query: AsOf) -> ShownSheet:
        """Look at a unit's sheet.

        Its sections, steps, lines and boxes, with all entries, their limits, and the advice on
        nonconforming readings. With `as_of`, the sheet at that time.
        """
        return shown_sheet(unit, record_seen(unit, query), reader_of(self.person))

    @commands(if_match="optional")
    def post(self, unit: UUID, command: Command, body: StartBody) -> Outcome:
        """Start a unit's sheet."""
        return sheets.start(actor=self.person, command=command, unit=unit, **given(body))


class SheetMoveView(View):
    """Moving a sheet to another revision."""

    tag = "sheet"

    @commands(if_match="required")
    def post(self, unit: UUID, command: Command, body: MoveBody) -> Outcome:
        """Move a sheet to another revision of its procedure.

        Steps that differ re-open; the others keep their entries and sign-offs.
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
    """Marking a step not applicable."""

    tag = "sheet"

    @commands(if_match="optional")
    def post(self, unit: UUID, step: str, command: Command, body: ReasonBody) -> Outcome:
        """Mark a step not applicable."""
        return steps.skip(
            actor=self.person, command=command, unit=unit, step=step, reason=body.reason
        )


class StepReopenView(View):
    """Re-opening a step."""

    tag = "sheet"

    @commands(if_match="optional")
    def post(self, unit: UUID, step: str, command: Command, body: ReasonBody) -> Outcome:
        """Re-open a step."""
        return steps.reopen(
            actor=self.person, command=command, unit=unit, step=step, reason=body.reason
        )


class SignView(View):
    """Signing a step as prepared."""

    tag = "sheet"

    @commands(if_match="optional")
    def post(self, unit: UUID, step: str, command: Command, body: SignBody) -> Outcome:
        """Sign a step as prepared."""
        return steps.sign(actor=self.person, command=command, unit=unit, step=step, **given(body))


class SecondView(View):
    """Checking a step as second person."""

    tag = "sheet"

    @commands(if_match="optional")
    def post(self, unit: UUID, step: str, command: Command, body: SignBody) -> Outcome:
        """Check a step as second person."""
        return steps.check_as_second(
            actor=self.person, command=command, unit=unit, step=step, **given(body)
        )
