"""Commands on guests: admit one to named units for a time, end the visit."""

from collections.abc import Sequence
from datetime import timedelta
from typing import Annotated, ClassVar, Final
from uuid import UUID

from prep.record.command import Command, Facts, Permission
from prep.record.fields import FILLED, Meta, PersonName, Reason, SiteCode
from prep.record.guest.events import GuestAdmitted, GuestEnded
from prep.record.log.envelope import moment
from prep.record.needs import GUEST
from prep.record.refusal import Refusal
from prep.record.roles import OFFICE, Context

State = GuestAdmitted | GuestEnded | None
LONGEST: Final = 30  # days of a visit
MOST: Final = 50  # units


class AdmitGuest(Command, frozen=True, kw_only=True, tag="guest.admit"):
    """Let somebody from outside look at named units of a yard, for up to 30 days.

    A guest has no account and no role, and opens the visit with a link that works once. Of these
    units the guest sees what was read and signed, and the documents in which nobody is named.
    """

    stream: ClassVar[str] = "guest"
    permission: ClassVar = Permission(OFFICE)
    creates: ClassVar = True
    needs: ClassVar = (GUEST,)

    site: SiteCode
    name: PersonName
    organization: Annotated[
        str, Meta(max_length=120, pattern=FILLED, examples=["Larkfield Implements (invented)"])
    ]
    units: Annotated[
        tuple[UUID, ...],
        Meta(min_length=1, max_length=MOST, examples=[["0b6cf7f4-51cf-4a6e-9d0a-9a3a5a3f9c11"]]),
    ]
    days: Annotated[int, Meta(ge=1, le=LONGEST, examples=[7])]
    why: Reason

    def decide(self, state: State, context: Context, facts: Facts) -> Sequence[GuestAdmitted]:
        """The days count from now, whatever the device says."""
        until = context.recorded + timedelta(days=self.days)
        units = tuple(dict.fromkeys(map(str, self.units)))
        return [
            GuestAdmitted(
                self.site, facts[GUEST], self.organization, units, moment(until), self.why
            )
        ]


class EndGuest(Command, frozen=True, kw_only=True, tag="guest.end"):
    """End a guest's visit at once."""

    stream: ClassVar[str] = "guest"
    permission: ClassVar = Permission(OFFICE)

    reason: Reason

    @classmethod
    def guard(cls, state: State, context: Context) -> None:
        """It was not ended before."""
        if isinstance(state, GuestEnded):
            raise Refusal("guest-ended")

    def decide(self, state: State, context: Context, facts: Facts) -> Sequence[GuestEnded]:
        """The guest sees nothing from now on."""
        return [GuestEnded(self.reason)]
