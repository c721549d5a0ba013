"""Endpoints of warranty registrations: sent to the manufacturer, and answered."""

from uuid import UUID

from api.inputs import Code, CommandBody, Long, given
from api.operations import View, commands
from prep.actions.unit import registrations
from prep.actions.write_path import Command, Outcome


class SentBody(CommandBody, frozen=True, kw_only=True):
    """The document sent to the manufacturer."""

    document: Code
    note: Long = ""


class AnswerBody(CommandBody, frozen=True, kw_only=True):
    """The manufacturer's answer."""

    accepted: bool
    reason: Long = ""


class RegistrationSentView(View):
    """Registrations sent to the manufacturer."""

    tag = "delivery"

    @commands(if_match="optional")
    def post(self, unit: UUID, command: Command, body: SentBody) -> Outcome:
        """Note that the registration was sent to the manufacturer."""
        return registrations.send(actor=self.person, command=command, unit=unit, **given(body))


class RegistrationAnswerView(View):
    """The manufacturer's answer to a registration."""

    tag = "delivery"

    @commands(if_match="optional")
    def post(self, unit: UUID, command: Command, body: AnswerBody) -> Outcome:
        """Note the manufacturer's answer to the registration."""
        return registrations.answer(actor=self.person, command=command, unit=unit, **given(body))
