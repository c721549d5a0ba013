"""Where a request to the API comes from: its address, and the yard's device that proves itself.

A device of the yard sends its id and key as `Device-Key: id.key`, and in `Device-Unsent` how many
entries wait on it.
"""

from typing import Final

from rest_framework.request import Request

from prep.actions.accounts.devices import device_of, heard_of
from prep.actions.accounts.origin import Origin, sender

KEY: Final = "Device-Key"
UNSENT: Final = "Device-Unsent"


def origin_of(request: Request) -> Origin:
    """Address and device; Refusal of a device that is unknown or revoked."""
    key = request.headers.get(KEY, "")
    return Origin(sender(request.META), device_of(key).pk if key else None)


def note_device(request: Request) -> None:
    """Note that a device was heard of, and what it says waits on it."""
    device = origin_of(request).device
    if device is not None:
        count = request.headers.get(UNSENT, "")
        said = count.isascii() and count.isdigit() and len(count) <= 9
        heard_of(device, int(count) if said else None)
