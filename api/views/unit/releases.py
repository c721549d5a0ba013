"""Endpoints that release a unit and withdraw its release."""

from typing import Annotated
from uuid import UUID

import msgspec

from api.inputs import Code, CommandBody, Digest, Long, Pin, given
from api.operations import View, commands
from prep.actions.unit import releases
from prep.actions.write_path import Command, Outcome


class ReleaseBody(CommandBody, frozen=True, kw_only=True):
    """The signature of a release; `seen` is the `seen` of the sheet as you read it."""

    seen: Digest
    pin: Pin


class ReopenBody(CommandBody, frozen=True, kw_only=True):
    """The reason, and the steps to do again."""

    reason: Long
    steps: Annotated[tuple[Code, ...], msgspec.Meta(max_length=500)] = ()


class ReleaseView(View):
    """Releasing a unit."""

    tag = "delivery"

    @commands(if_match="required")
    def post(self, unit: UUID, command: Command, body: ReleaseBody) -> Outcome:
        """Release a unit.

        For its buyer where one is assigned, else for stock. A unit that is not ready is refused
        with all reasons in `reasons`.
        """
        return releases.release(actor=self.person, command=command, unit=unit, **given(body))


class ReopenView(View):
    """Withdrawing a release."""

    tag = "delivery"

    @commands(if_match="required")
    def post(self, unit: UUID, command: Command, body: ReopenBody) -> Outcome:
        """Re-open a released unit."""
        return releases.reopen(actor=self.person, command=command, unit=unit, **given(body))
