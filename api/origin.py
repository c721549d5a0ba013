"""Where a request to the API comes from."""

from rest_framework.request import Request

from prep.actions.accounts.origin import Origin, sender


def origin_of(request: Request) -> Origin:
    """The address of the client."""
    return Origin(sender(request.META))
