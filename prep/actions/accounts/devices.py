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
    try:
        device = Device.objects.filter(pk=UUID(sent.strip().partition(".")[0])).first()
    except ValueError:
        device = None
    if device is None or not _is_key(sent, device):
        raise Refusal("device-unknown")
    if device.revoked:
        raise Refusal("device-revoked", name=device.name)
    return device


def proves(sent: str, device: Device) -> bool:
    """Whether what was sent is the id and key of a device, which was not revoked."""
    same = sent.strip().partition(".")[0].lower() == str(device.pk)
    return same and _is_key(sent, device) and device.revoked is None


def _is_key(sent: str, device: Device) -> bool:
    return constant_time_compare(digest_of(sent.strip().partition(".")[2]), device.key_digest)


def heard_of(device: UUID, unsent: int | None = None) -> None:
    """Note when a device was last heard of, and how many entries it says wait on it."""
    if unsent is None and not cache.add(f"device:{device}", True, CONTACT):
        return
    said = {} if unsent is None else {"unsent": min(max(unsent, 0), MOST_UNSENT)}
    Device.objects.filter(pk=device, revoked=None).update(contact=timezone.now(), **said)
