"""A guest of the yard."""

from typing import Any
from uuid import UUID

from prep.actions.perform import perform
from prep.models import Guest
from prep.record.guest.commands import AdmitGuest
from tests.cast import Yard

GUEST = "Gail Visitor (invented)"
COMPANY = "Larkfield Implements (invented)"


def admitting(yard: Yard, *units: UUID, **more: Any) -> AdmitGuest:
    """The manufacturer's visitor, admitted to some units for a week."""
    return AdmitGuest(
        **{
            "site": yard.site,
            "name": GUEST,
            "organization": COMPANY,
            "units": units,
            "days": 7,
            "why": "Looks into a gearbox claim (invented).",
            **more,
        }
    )


def admitted(yard: Yard, *units: UUID, **more: Any) -> Guest:
    """The guest, admitted by Mira."""
    outcome = perform(admitting(yard, *units, **more), actor=yard.mira)
    return Guest.objects.get(pk=outcome.target)
