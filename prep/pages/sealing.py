"""Whether the log is sealed as it should be, for people who can have it put right."""

from datetime import datetime, timedelta
from typing import Final

from django.utils import timezone

from prep.queries import log

SOON: Final = timedelta(minutes=10)  # a worker seals within seconds, and sweeps every half minute


def unsealed_since() -> datetime | None:
    """Since when entries wait for their seal; None where none waits for long."""
    oldest = log.unsealed_since()
    return oldest if oldest and timezone.now() - oldest > SOON else None
