"""A unit's events up to one of its releases, with the record they make."""

from dataclasses import dataclass
from uuid import UUID

from prep.models import Event
from prep.queries.records import Happening, fold_history, history
from prep.record.refusal import Refusal
from prep.record.unit.state import Record


@dataclass(frozen=True)
class ReleaseHistory:
    """Events of a unit up to a release, as rows and decoded, oldest first, and their record."""

    events: tuple[Event, ...]
    history: tuple[Happening, ...]
    record: Record

    @property
    def release(self) -> Event:
        """The release itself, the last of the events."""
        return self.events[-1]


def history_until(unit: UUID, release: str) -> ReleaseHistory:
    """History of a unit up to a release, named by its command's id. Three queries.

    Raises Refusal where the unit has no such release.
    """
    of_unit = Event.objects.filter(stream="unit", stream_id=str(unit))
    release_event = of_unit.filter(kind="unit.released", command=UUID(release)).first()
    if release_event is None:
        raise Refusal("no-such-release")
    rows = tuple(of_unit.filter(version__lte=release_event.version).order_by("version"))
    events = history(unit, version=release_event.version)
    return ReleaseHistory(rows, tuple(events), fold_history(events))
