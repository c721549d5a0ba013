"""A unit's events up to one of its releases, and corrections of its plate since."""

from dataclasses import dataclass
from uuid import UUID

from prep.models import Event
from prep.queries.records import Happening, fold_history, history
from prep.record.refusal import Refusal
from prep.record.unit.state import Record


@dataclass(frozen=True)
class ReleaseHistory:
    """Events of a unit up to a release, as rows and decoded, oldest first, and their record.

    Corrections of the plate that came after the release follow it.
    """

    events: tuple[Event, ...]
    history: tuple[Happening, ...]
    record: Record
    release: Event


def history_until(unit: UUID, release: str, corrected: int = 0) -> ReleaseHistory:
    """History of a unit up to a release, named by its command's id. Three queries.

    `corrected` is the version of the last correction of the plate that counts, where it came after
    the release. Raises Refusal where the unit has no such release.
    """
    of_unit = Event.objects.filter(stream="unit", stream_id=str(unit))
    release_event = of_unit.filter(kind="unit.released", command=UUID(release)).first()
    if release_event is None:
        raise Refusal("no-such-release")
    last = max(corrected, release_event.version)
    rows = list(of_unit.filter(version__lte=last).order_by("version"))
    counted = {
        row.version
        for row in rows
        if row.version <= release_event.version or row.kind == "unit.plate_corrected"
    }
    events = [one for one in history(unit, version=last) if one.stamp.version in counted]
    return ReleaseHistory(
        tuple(row for row in rows if row.version in counted),
        tuple(events),
        fold_history(events),
        release_event,
    )
