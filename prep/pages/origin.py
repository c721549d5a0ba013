"""Where a request for a page comes from."""

from uuid import UUID

from django.http import HttpRequest

from prep.actions.accounts.origin import Origin, sender
from prep.actions.accounts.session_store import DEVICE


def origin_of(request: HttpRequest) -> Origin:
    """The address of the client, and the device that the session is on."""
    device = request.session.get(DEVICE)
    return Origin(sender(request.META), UUID(device) if device else None)
