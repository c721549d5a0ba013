"""From prepared to delivered: buyers, holds, release, handover, registration."""

from typing import Annotated
from uuid import UUID

import msgspec

from api.bodies import Code, CommandBody, Long, Name, Short, given
from api.operations import View, commands
from prep.actions import buyers, registrations, units
from prep.actions.writing import Command, Outcome
from prep.record.releasing import MUST_SHOW

Digest = Annotated[str, msgspec.Meta(pattern="^[0-9a-f]{64}$")]
Pin = Annotated[str, msgspec.Meta(max_length=60, description="The PIN of whoever signs.")]


class AssignBody(CommandBody, frozen=True, kw_only=True):
    """The buyer and their tractor."""

    buyer: UUID
    tractor: Code


class ReasonBody(CommandBody, frozen=True, kw_only=True):
    """Why."""

    reason: Long


class NoteBody(CommandBody, frozen=True, kw_only=True):
    """A note, if there is one to make."""

    note: Long = ""


class ReleaseBody(CommandBody, frozen=True, kw_only=True):
    """`seen` is the `seen` of the sheet that was looked at."""

    seen: Digest
    pin: Pin


class ReopenBody(CommandBody, frozen=True, kw_only=True):
    """Why, and which steps are to be worked again."""

    reason: Long
    steps: Annotated[tuple[Code, ...], msgspec.Meta(max_length=500)] = ()


class HandoverBody(CommandBody, frozen=True, kw_only=True):
    """Who took it over, what was shown and in which language."""

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


class SentBody(CommandBody, frozen=True, kw_only=True):
    """Which document went to the maker."""

    document: Code
    note: Long = ""


class AnswerBody(CommandBody, frozen=True, kw_only=True):
    """What the maker answered."""

    accepted: bool
    reason: Long = ""


class BuyerView(View):
    """Who a unit is meant for."""

    tag = "delivery"

    @commands(if_match="optional")
    def post(self, unit: UUID, command: Command, body: AssignBody) -> Outcome:
        """Mean a unit for a buyer and their tractor.

        Steps that depend on the tractor re-open where it is another one than before.
        """
        return buyers.assign(actor=self.person, command=command, unit=unit, **given(body))


class WithdrawalView(View):
    """A buyer who withdrew."""

    tag = "delivery"

    @commands(if_match="optional")
    def post(self, unit: UUID, command: Command, body: ReasonBody) -> Outcome:
        """Take a unit back to stock."""
        return buyers.withdraw(actor=self.person, command=command, unit=unit, **given(body))


class HoldView(View):
    """Work stopped."""

    tag = "delivery"

    @commands(if_match="optional")
    def post(self, unit: UUID, command: Command, body: ReasonBody) -> Outcome:
        """Put a unit on hold."""
        return units.hold(actor=self.person, command=command, unit=unit, **given(body))


class ResumeView(View):
    """Work going on."""

    tag = "delivery"

    @commands(if_match="optional")
    def post(self, unit: UUID, command: Command, body: NoteBody) -> Outcome:
        """Resume work on a unit."""
        return units.resume(actor=self.person, command=command, unit=unit, **given(body))


class ReleaseView(View):
    """The service manager's sign-off."""

    tag = "delivery"

    @commands(if_match="required")
    def post(self, unit: UUID, command: Command, body: ReleaseBody) -> Outcome:
        """Release a unit.

        For its buyer where one is assigned, else for stock. What is not ready is refused with
        every reason in `reasons`.
        """
        return units.release(actor=self.person, command=command, unit=unit, **given(body))


class ReopenView(View):
    """A release withdrawn."""

    tag = "delivery"

    @commands(if_match="required")
    def post(self, unit: UUID, command: Command, body: ReopenBody) -> Outcome:
        """Re-open a released unit."""
        return units.reopen(actor=self.person, command=command, unit=unit, **given(body))


class HandoverView(View):
    """Delivery to the buyer."""

    tag = "delivery"

    @commands(if_match="required")
    def post(self, unit: UUID, command: Command, body: HandoverBody) -> Outcome:
        """Hand a unit over.

        The recipient's name is kept beside the log, where it can be erased; the log holds its
        salted digest.
        """
        return units.hand_over(actor=self.person, command=command, unit=unit, **given(body))


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
