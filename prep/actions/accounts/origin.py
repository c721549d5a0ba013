"""Where a request comes from: the client's address, and the yard's device it was sent on."""

import ipaddress
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final
from uuid import UUID

from django.conf import settings

NETWORK: Final = 64  # bits of an IPv6 address that are one customer's (RFC 6177)


@dataclass(frozen=True)
class Origin:
    """An address, empty for the machine itself, and the id of an enrolled device; None for none."""

    address: str = ""
    device: UUID | None = None


HERE: Final = Origin()


def sender(meta: Mapping[str, Any]) -> str:
    """The address that a request came from; of IPv6 the network, because a customer has millions.

    Each proxy adds whom it heard at the right of `X-Forwarded-For`; whatever stands further left
    than the stated number of proxies reaches came with the request, and may be forged. A request
    that passed fewer proxies than that did not come through them: its own address counts.
    """
    address = str(meta.get("REMOTE_ADDR", ""))
    if settings.PROXIES:
        forwarded = str(meta.get("HTTP_X_FORWARDED_FOR", "")).split(",")
        if len(forwarded) >= settings.PROXIES:
            address = forwarded[-settings.PROXIES].strip() or address
    try:
        known = ipaddress.ip_address(address)
    except ValueError:
        return address
    if isinstance(known, ipaddress.IPv4Address):
        return str(known)
    if known.ipv4_mapped:
        return str(known.ipv4_mapped)
    return str(ipaddress.ip_network((known, NETWORK), strict=False))
