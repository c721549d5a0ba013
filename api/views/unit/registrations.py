"""Warranty registrations: sent to the manufacturer, and answered."""

from uuid import UUID

from api.inputs import Code, CommandBody, Long, given
from api.operations import View, commands
from prep.actions.unit import registrations
from prep.actions.write_path import Command, Outcome


class SentBody(CommandBody, frozen=True, kw_only=True):
    """Which document went to the maker."""

    document: Code
    note: Long = ""


class AnswerBody(CommandBody, frozen=True, kw_only=True):
    """What the maker answered."""

    accepted: bool
    reason: Long = ""


class RegistrationSentView(View):
    """A registration that went out."""

    tag = "delivery"

    @commands(if_match="optional")
    def post(self, unit: UUID, command: Command, body: SentBody) -> Outcome:
        """Note that the registration was sent to the maker."""
        return registrations.send(actor=self.person, command=command, unit=unit, **given(body))


class RegistrationAnswerView(View):
    """What the maker said to it."""

    tag = "delivery"

    @commands(if_match="optional")
    def post(self, unit: UUID, command: Command, body: AnswerBody) -> Outcome:
        """Note the maker's answer to the registration."""
        return registrations.answer(actor=self.person, command=command, unit=unit, **given(body))
