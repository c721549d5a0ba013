"""Guests beside the log: the name, and the link that opens a visit once.

The link's secret follows from the guest's id under the service's key, so that nothing that is
stored opens a visit, and the same command sent again leads to the same link.
"""

import secrets
from collections.abc import Iterable
from datetime import datetime
from typing import Any, Final
from uuid import UUID

from django.db.models import QuerySet
from django.utils import timezone
from django.utils.crypto import constant_time_compare, salted_hmac

from prep.models import Guest, Unit
from prep.record.guest.commands import AdmitGuest
from prep.record.refusal import Refusal

SALT: Final = "prep.actions.beside_the_log.guests"
NOBODY: Final = "(erased)"
LENGTH: Final = 40  # hex characters of a link's secret


def new_guest(guest: str, command: AdmitGuest) -> Guest:
    """The row of a guest, not stored yet; Refusal for units of another yard."""
    known = Unit.objects.filter(pk__in=command.units, site_id=command.site)
    unknown = set(command.units) - set(known.values_list("pk", flat=True))
    if unknown:
        raise Refusal("no-such-units", field="units", units=sorted(map(str, unknown))[:5])
    return Guest(
        id=UUID(guest),
        site_id=command.site,
        name=command.name,
        salt=secrets.token_hex(16),
        organization=command.organization,
        units=[],  # what follows from the event comes with it
        why=command.why,
        until=timezone.now(),
        version=0,
    )


def erase_name(guest: UUID, when: datetime) -> None:
    """Erase a guest's name, and the salt that would prove a guess at it."""
    Guest.objects.filter(pk=guest).update(name=NOBODY, salt="", erased=when)


def secret_of(guest: UUID) -> str:
    """What the link of a guest has in it."""
    return salted_hmac(SALT, str(guest), algorithm="sha256").hexdigest()[:LENGTH]


def open_visit(guest: UUID, secret: str) -> Guest:
    """Open a guest's visit, once; Refusal for a link that is wrong, used or over.

    Of two that open it at once, one does.
    """
    if not constant_time_compare(secret, secret_of(guest)):
        raise Refusal("guest-link-unfit")
    opened = _going_on().filter(pk=guest, opened=None).update(opened=timezone.now())
    if not opened:
        raise Refusal("guest-link-unfit")
    return Guest.objects.get(pk=guest)


def visiting(guest: Any) -> Guest | None:
    """A guest whose visit goes on; None for any other."""
    try:
        key = UUID(str(guest))
    except ValueError:
        return None
    return _going_on().filter(pk=key).exclude(opened=None).first()


def goes_on(guest: Guest) -> bool:
    """Whether a guest's visit is neither over nor ended."""
    return guest.ended is None and guest.until > timezone.now()


def _going_on() -> QuerySet[Guest]:
    return Guest.objects.filter(ended=None, until__gt=timezone.now())


def sees(guest: Guest, unit: UUID | None) -> bool:
    """Whether a guest was admitted to a unit."""
    named: Iterable[str] = guest.units
    return unit is not None and str(unit) in set(named)
