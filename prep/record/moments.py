"""When a command happened: as its device said, corrected where that device's clock is off.

A device's clock may be wrong, so how far it is off is measured each time it sends. Within the slack
its word stands; beyond it, every moment it says is moved by as much. The event keeps the drift, and
so what the device showed.
"""

from datetime import UTC, datetime, timedelta
from typing import Final

from prep.record.refusal import Refusal

SLACK: Final = timedelta(minutes=2)
LONGEST_UNRECORDED: Final = timedelta(days=60)
MIDDLE: Final = 5000  # a year that tells the two ends of the calendar apart


def drift_of(now: datetime, clock: datetime) -> int:
    """Seconds that a device's clock is behind ours; negative where it is ahead."""
    return round((now - clock).total_seconds())


def happened_at(
    said: datetime | None, drift: int | None, recorded: datetime, begun: datetime | None
) -> datetime:
    """The moment of a command in UTC; Refusal of one that is impossible.

    `said` is what the device said, None for now; `begun` is when the stream's first event happened,
    None for that event itself. Within the slack a moment is moved to the bound it is beyond.
    """
    if said is None:
        return recorded.astimezone(UTC)
    off = drift or 0
    moment = _moved(said, off if abs(off) > SLACK.total_seconds() else 0)
    if moment > recorded + SLACK:
        raise Refusal("happened-in-future")
    if begun is None:
        if moment < recorded - LONGEST_UNRECORDED:
            raise Refusal("happened-too-long-ago", days=LONGEST_UNRECORDED.days)
        return min(moment, recorded.astimezone(UTC))
    if moment < begun - SLACK:
        raise Refusal("happened-before-start", begun=begun)
    return min(max(moment, begun), recorded).astimezone(UTC)


def in_utc(moment: datetime) -> datetime:
    """A moment in UTC; at either end of the calendar the last one that can be written there."""
    return _moved(moment, 0)


def _moved(moment: datetime, seconds: int) -> datetime:
    try:
        return moment.astimezone(UTC) + timedelta(seconds=seconds)
    except OverflowError:
        end = datetime.min if moment.year < MIDDLE else datetime.max
        return end.replace(tzinfo=UTC)
