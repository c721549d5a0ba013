"""Counts of requests, for the limits of those who need not sign in.

Counted by atomic add and increment, so that no two requests get the same count. Windows are fixed:
at most the stated number in one window of the clock.
"""

import hashlib
import math
import time
from typing import NamedTuple

from django.core.cache import cache


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


def _counted(key: str, seconds: int) -> int:
    cache.add(key, 0, timeout=2 * seconds)
    try:
        return cache.incr(key)
    except ValueError:  # evicted from a full cache between the two calls
        return 1
