"""Counts of requests, for the limits of those who need not sign in.

Counted by atomic add and increment, so that no two requests get the same count. Windows are fixed:
at most the stated number in one window of the clock.
"""

import hashlib
import ipaddress
import math
import time
from collections.abc import Mapping
from typing import Any, Final, NamedTuple

from django.conf import settings
from django.core.cache import cache

NETWORK: Final = 64  # bits of an IPv6 address that are one customer's (RFC 6177)


class Counted(NamedTuple):
    """How many requests there were in the present window, and the seconds until the next."""

    requests: int
    left: int


def count(scope: str, name: str, seconds: int) -> Counted:
    """Count one request of `name` in the present window of so many seconds."""
    window = int(time.time() // seconds)
    left = max(math.ceil((window + 1) * seconds - time.time()), 1)
    digest = hashlib.sha256(name.encode("utf-8", "surrogatepass")).hexdigest()[:32]
    return Counted(_counted(f"requests:{scope}:{digest}:{window}", seconds), left)


def sender(meta: Mapping[str, Any]) -> str:
    """The address that a request came from; of IPv6 the network, because a customer has millions.

    Behind the proxy of the service profile it is the last one forwarded: the proxy wrote that, and
    whatever stands before it came with the request.
    """
    address = str(meta.get("REMOTE_ADDR", ""))
    forwarded = str(meta.get("HTTP_X_FORWARDED_FOR", "")).rpartition(",")[2].strip()
    if settings.SERVICE and forwarded:
        address = forwarded
    try:
        known = ipaddress.ip_address(address)
    except ValueError:
        return address
    if isinstance(known, ipaddress.IPv4Address):
        return str(known)
    if known.ipv4_mapped:
        return str(known.ipv4_mapped)
    return str(ipaddress.ip_network((known, NETWORK), strict=False))


def _counted(key: str, seconds: int) -> int:
    cache.add(key, 0, timeout=2 * seconds)
    try:
        return cache.incr(key)
    except ValueError:  # evicted from a full cache between the two calls
        return 1
