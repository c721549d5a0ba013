"""Endpoint that hands a unit over to its buyer."""

from typing import Annotated
from uuid import UUID

import msgspec

from api.inputs import CommandBody, Name, Pin, Short, given
from api.operations import View, commands
from prep.actions.unit import handovers
from prep.actions.write_path import Command, Outcome
from prep.record.unit.commands.handovers import MUST_SHOW


class HandoverBody(CommandBody, frozen=True, kw_only=True):
    """Who received the unit, and what the walk-through covered, in which language."""

    recipient: Annotated[str, msgspec.Meta(max_length=200)]
    relation: Short
    language: Short
    shown: Annotated[
        tuple[Name, ...],
        msgspec.Meta(max_length=50, description=f"At least: {'; '.join(MUST_SHOW)}."),
    ]
    manual_given: bool
    pin: Pin
    hour_meter: Short = ""
    place: Name = ""
    first_use: Name = "own use"


class HandoverView(View):
    """Handover to the buyer."""

    tag = "delivery"

    @commands(if_match="required")
    def post(self, unit: UUID, command: Command, body: HandoverBody) -> Outcome:
        """Hand a unit over.

        The recipient's name is kept beside the log, where it can be erased; the log holds its
        salted digest.
        """
        return handovers.hand_over(actor=self.person, command=command, unit=unit, **given(body))
