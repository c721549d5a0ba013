"""The devices of yards."""

from collections.abc import Iterable
from uuid import UUID

from prep.models import Device


def devices_at(sites: Iterable[str]) -> dict[str, list[Device]]:
    """The devices of these yards by the yard's code, those in use first. One query."""
    found: dict[str, list[Device]] = {}
    rows = Device.objects.filter(site_id__in=list(sites)).order_by("name", "id")
    for device in sorted(rows, key=lambda one: one.revoked is not None):
        found.setdefault(device.site_id, []).append(device)
    return found


def is_enrolled(name: str, other_than: str) -> bool:
    """Whether a name that a device gives itself is the id of another one than it proved to be."""
    try:
        named = UUID(name)
    except ValueError:
        return False
    return str(named) != other_than and Device.objects.filter(pk=named).exists()
