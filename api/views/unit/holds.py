"""Holds: work on a unit stopped, and resumed."""

from uuid import UUID

from api.inputs import CommandBody, Long, ReasonBody, given
from api.operations import View, commands
from prep.actions.unit import holds
from prep.actions.write_path import Command, Outcome


class NoteBody(CommandBody, frozen=True, kw_only=True):
    """A note, if there is one to make."""

    note: Long = ""


class HoldView(View):
    """Work stopped."""

    tag = "delivery"

    @commands(if_match="optional")
    def post(self, unit: UUID, command: Command, body: ReasonBody) -> Outcome:
        """Put a unit on hold."""
        return holds.hold(actor=self.person, command=command, unit=unit, **given(body))


class ResumeView(View):
    """Work going on."""

    tag = "delivery"

    @commands(if_match="optional")
    def post(self, unit: UUID, command: Command, body: NoteBody) -> Outcome:
        """Resume work on a unit."""
        return holds.resume(actor=self.person, command=command, unit=unit, **given(body))
