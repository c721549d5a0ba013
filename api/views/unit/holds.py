"""Endpoints that put a unit on hold and take it off hold."""

from uuid import UUID

from api.inputs import CommandBody, Long, ReasonBody, given
from api.operations import View, commands
from prep.actions.unit import holds
from prep.actions.write_path import Command, Outcome


class NoteBody(CommandBody, frozen=True, kw_only=True):
    """An optional note."""

    note: Long = ""


class HoldView(View):
    """Putting a unit on hold."""

    tag = "delivery"

    @commands(if_match="optional")
    def post(self, unit: UUID, command: Command, body: ReasonBody) -> Outcome:
        """Put a unit on hold."""
        return holds.hold(actor=self.person, command=command, unit=unit, **given(body))


class ResumeView(View):
    """Taking a unit off hold."""

    tag = "delivery"

    @commands(if_match="optional")
    def post(self, unit: UUID, command: Command, body: NoteBody) -> Outcome:
        """Resume work on a unit."""
        return holds.resume(actor=self.person, command=command, unit=unit, **given(body))
