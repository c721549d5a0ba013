"""When a command happened: as its device said, corrected where that device's clock is off.

A device's clock may be wrong, so how far it is off is measured each time it sends. Within the slack
its word stands; beyond it, every moment it says is moved by as much. The event keeps the drift, and
so what the device showed.

A moment has bounds on both sides: not in the future, not before the stream's first event, not long
before it is recorded where it is that first event, and not before what the command follows from:
what it refers to was published, its sheet was started, its step was re-opened.

What an entry is worth besides its value, its tool and its person, is judged at both of its moments:
when it happened and when it was recorded. Nobody passes a check by dating an entry back to a day on
which it would have been passed, and nobody is harmed unheard by a tool that came due overnight:
where a judgment differs the entry says so.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from enum import StrEnum
from typing import Final

import msgspec

from prep.record.refusal import Refusal

SLACK: Final = timedelta(minutes=2)
LONGEST_UNRECORDED: Final = timedelta(days=60)
WRITTEN: Final = timedelta(minutes=1)  # people write times in minutes
MIDDLE: Final = 5000  # a year that tells the two ends of the calendar apart


@dataclass(frozen=True)
class Bound:
    """A moment that a command cannot have happened before, and the refusal of one that did."""

    moment: datetime
    refusal: Refusal


@dataclass(frozen=True)
class Said:
    """The moment a command says it happened: None for now.

    `drift` is how many seconds the clock of its device is behind. `field` is the field that says
    it, empty where the device does.
    """

    moment: datetime | None = None
    drift: int | None = None
    field: str = ""

    @property
    def slack(self) -> timedelta:
        """How far it may lie before a bound and is moved to it."""
        return WRITTEN if self.field else SLACK


def drift_of(now: datetime, clock: datetime) -> int:
    """Seconds that a device's clock is behind ours; negative where it is ahead."""
    return round((now - clock).total_seconds())


def happened_at(said: Said, recorded: datetime, begun: datetime | None) -> datetime:
    """The moment of a command in UTC; Refusal of one that is impossible.

    `begun` is when the stream's first event happened, None for that event itself. Within the slack
    a moment is moved to the bound it is beyond.
    """
    if said.moment is None:
        return recorded.astimezone(UTC)
    off = said.drift or 0
    moment = _moved(said.moment, off if abs(off) > SLACK.total_seconds() else 0)
    if moment > recorded + SLACK:
        raise Refusal("happened-in-future", field=said.field)
    if begun is None:
        if moment < recorded - LONGEST_UNRECORDED:
            raise Refusal("happened-too-long-ago", field=said.field, days=LONGEST_UNRECORDED.days)
        return min(moment, recorded.astimezone(UTC))
    start = Bound(begun, Refusal("happened-before-start", begun=begun))
    return min(not_before(moment, [start], said), recorded).astimezone(UTC)


def not_before(moment: datetime, bounds: Iterable[Bound], said: Said) -> datetime:
    """A moment, moved to the bounds it is before within the slack; Refusal beyond that."""
    for bound in bounds:
        if moment < bound.moment - said.slack:
            bound.refusal.field = said.field
            raise bound.refusal
        moment = max(moment, bound.moment)
    return moment


def in_utc(moment: datetime) -> datetime:
    """A moment in UTC; at either end of the calendar the last one that can be written there."""
    return _moved(moment, 0)


def _moved(moment: datetime, seconds: int) -> datetime:
    try:
        return moment.astimezone(UTC) + timedelta(seconds=seconds)
    except OverflowError:
        end = datetime.min if moment.year < MIDDLE else datetime.max
        return end.replace(tzinfo=UTC)


class Trust(StrEnum):
    """What is trusted."""

    CALIBRATION = "calibration"
    SERVICE = "service"
    ON_RECORD = "on-record"
    ROLE = "role"


class Held(StrEnum):
    """At which moment alone it held."""

    HAPPENED = "happened"
    RECORDED = "recorded"


class Differs(msgspec.Struct, frozen=True, tag_field="remark", tag="differs"):
    """What is trusted, `about`, held at one of the two moments alone; `held` says at which."""

    about: str
    held: str


def judged(about: Trust, *, happened: bool, recorded: bool) -> tuple[Differs, ...] | None:
    """Nothing where it held at both moments, the difference at one, None where at neither."""
    if happened and recorded:
        return ()
    if not (happened or recorded):
        return None
    return (Differs(about.value, (Held.HAPPENED if happened else Held.RECORDED).value),)
