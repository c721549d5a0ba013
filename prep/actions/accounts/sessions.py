"""Ending sign-ins: somebody's everywhere, or all those on one device.

Whatever request is under way keeps what it has begun; the next one is nobody's. A session that ends
so is not written again by a request that still holds it.
"""

from uuid import UUID

from django.utils import timezone

from prep.actions.accounts import tokens
from prep.models import Person, Session


def sign_out_everywhere(person: Person) -> None:
    """End every sign-in of a person, by page and by API; tokens of programs are revoked one by one.

    Call it within the transaction that makes them end, so that both happen or neither.
    """
    Session.objects.filter(person=person).delete()
    tokens.sign_out_everywhere(person)


def sign_out_device(device: UUID) -> None:
    """End every sign-in on a device, by page and by API, whosever it is."""
    Session.objects.filter(device=device).delete()
    tokens.sign_out_device(device)


def clear_expired() -> None:
    """Delete the sessions that are over."""
    Session.objects.filter(expire_date__lt=timezone.now()).delete()
