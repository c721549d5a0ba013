"""Clearing away what accounts leave behind and nobody needs: a consumer of the sweep."""

from typing import Final

from django.core.cache import cache

from prep.actions.accounts import attempts, places, sessions

HOURLY: Final = 60 * 60


def clear_past() -> None:
    """Delete forgotten attempts, passwords given long ago and sessions that are over, hourly."""
    if cache.add("accounts:cleared", True, HOURLY):
        attempts.clear_forgotten()
        places.clear_past()
        sessions.clear_expired()
