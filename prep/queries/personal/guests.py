"""Guests of the sites a person may see, and what they opened. One query each."""

from collections.abc import Iterable
from typing import Final
from uuid import UUID

from prep.models import Guest, PersonalRead
from prep.record.refusal import Refusal

MOST: Final = 200


def guest_at(guest: UUID, sites: Iterable[str]) -> Guest:
    """A guest of one of the sites; Refusal where there is none."""
    row = Guest.objects.filter(pk=guest, site_id__in=list(sites)).first()
    if row is None:
        raise Refusal("no-such-guest")
    return row


def looked_at_by(guest: Guest) -> list[PersonalRead]:
    """What a guest opened, the newest first."""
    rows = PersonalRead.objects.filter(reader=reader_named(guest)).order_by("-at", "-id")
    return list(rows[:MOST])


def reader_named(guest: Guest) -> str:
    """What a guest is called in the rows of who looked at what."""
    return f"guest:{guest.pk}"
