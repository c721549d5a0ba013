"""The notice that the log has not been sealed, for people who can have that fixed."""

from datetime import datetime, timedelta
from typing import Final

from django.utils import timezone

from prep.queries import log

# A worker seals within seconds, and sweeps every half minute.
NORMAL_DELAY: Final = timedelta(minutes=10)


def unsealed_since() -> datetime | None:
    """The moment since which entries have waited for a seal; None within the normal delay."""
    oldest = log.unsealed_since()
    return oldest if oldest and timezone.now() - oldest > NORMAL_DELAY else None
