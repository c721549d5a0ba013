"""Commands on guests: admit one to named units for a time, end the visit, erase the name."""

from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import Annotated, ClassVar, Final
from uuid import UUID

from prep.record.command import Command, Facts, Permission
from prep.record.fields import FILLED, Meta, PersonName, Reason, SiteCode
from prep.record.guest.events import GuestAdmitted, GuestEnded, GuestErased
from prep.record.log.envelope import moment
from prep.record.needs import GUEST
from prep.record.refusal import Refusal
from prep.record.roles import OFFICE, Context, Role

State = GuestAdmitted | GuestEnded | GuestErased | None
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
        if isinstance(state, GuestEnded | GuestErased):
            raise Refusal("guest-ended")

    def decide(self, state: State, context: Context, facts: Facts) -> Sequence[GuestEnded]:
        """The guest sees nothing from now on."""
        return [GuestEnded(self.reason)]


class EraseGuest(Command, frozen=True, kw_only=True, tag="guest.erase"):
    """Erase the name of a guest whose visit is over. It cannot be undone.

    The company, the units, the reason and what the guest opened stay on record.
    """

    stream: ClassVar[str] = "guest"
    permission: ClassVar = Permission(frozenset({Role.ADMINISTRATOR}))

    reason: Reason

    @classmethod
    def guard(cls, state: State, context: Context) -> None:
        """The visit is over, and the name was not erased before."""
        if isinstance(state, GuestErased):
            raise Refusal("guest-erased")
        until = state.until if isinstance(state, GuestAdmitted) else ""
        if until and datetime.fromisoformat(until) > context.recorded:
            raise Refusal("guest-goes-on")

    def decide(self, state: State, context: Context, facts: Facts) -> Sequence[GuestErased]:
        """Nothing of the person is left but the digest."""
        return [GuestErased(self.reason)]
