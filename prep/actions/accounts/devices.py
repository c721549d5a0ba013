"""Devices of a yard as they come: by their keys, with what waits on them.

A device sends `id.key`; the service has the SHA-256 of the key. A key is 32 random bytes, so its
digest gives nothing away and a plain one is enough.
"""

import hashlib
from typing import Final
from uuid import UUID

from django.core.cache import cache
from django.utils import timezone
from django.utils.crypto import constant_time_compare, salted_hmac

from prep.models import Device
from prep.record.refusal import Refusal

CONTACT: Final = 5 * 60  # seconds in which one word of a device is written down at most once
MOST_UNSENT: Final = 100_000


def key_of(command: UUID) -> str:
    """The key of a device that a page enrolls.

    It follows from the form's command id and the service's secret key, so that a form sent twice
    gives the tablet one key, and an id that stands in the log gives nobody any.
    """
    return salted_hmac("yardproof-device-key", str(command), algorithm="sha256").hexdigest()


def digest_of(key: str) -> str:
    """The digest that is kept of a key."""
    return hashlib.sha256(key.encode("utf-8", "surrogatepass")).hexdigest()


def device_of(sent: str) -> Device:
    """The device whose id and key these are; Refusal of any other, and of one that is revoked."""
    name, _, key = sent.strip().partition(".")
    try:
        device = Device.objects.filter(pk=UUID(name)).first()
    except ValueError:
        device = None
    known = device.key_digest if device else ""
    if device is None or not constant_time_compare(digest_of(key), known):
        raise Refusal("device-unknown")
    if device.revoked:
        raise Refusal("device-revoked", name=device.name)
    return device


def heard_of(device: UUID, unsent: int | None = None) -> None:
    """Note when a device was last heard of, and how many entries it says wait on it."""
    if unsent is None and not cache.add(f"device:{device}", True, CONTACT):
        return
    said = {} if unsent is None else {"unsent": min(max(unsent, 0), MOST_UNSENT)}
    Device.objects.filter(pk=device, revoked=None).update(contact=timezone.now(), **said)
