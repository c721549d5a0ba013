"""Endpoints of one unit: look at, history, readiness."""

from datetime import datetime
from typing import Annotated, Any
from uuid import UUID

import msgspec

from api.answers.outcomes import ShownReadiness, kept_readiness, shown_readiness
from api.answers.units import ShownUnit, shown_unit
from api.inputs import Moment, Query
from api.operations import View, reads_unit
from api.paging import Page, address_after, decode
from prep.queries.events import events_of
from prep.queries.readers import reader_of
from prep.queries.records import record_of
from prep.queries.units import readiness_of
from prep.record.refusal import Refusal
from prep.record.unit.events import UnitEvent
from prep.record.unit.readiness import readiness
from prep.record.unit.state import Record


class AsOf(Query, frozen=True, kw_only=True):
    """A past time to show the record at."""

    as_of: Moment | None = None


class HistoryQuery(Query, frozen=True, kw_only=True):
    """Paging of a history."""

    cursor: str = ""
    limit: Annotated[int, msgspec.Meta(ge=1, le=500)] = 100


class ShownEvent(msgspec.Struct, frozen=True, kw_only=True):
    """An event of a unit, as it is in the log.

    `drift` is by how many seconds the device's clock was behind when it sent, null where that is
    unknown; `named` is the id of whom the device named as the author, empty where that is the
    actor. `leaf` is its RFC 6962 leaf hash in hex, `position` its position in the log, null until
    sealed.
    """

    id: int
    version: int
    kind: str
    body: UnitEvent
    actor: str
    actor_name: str
    device: str
    drift: int | None
    named: str
    named_name: str
    happened: datetime
    recorded: datetime
    command: UUID
    leaf: str
    position: int | None


class EventPage(Page[ShownEvent], frozen=True, kw_only=True):
    """Events of one unit, the first one first."""

    version: int


class UnitReadiness(msgspec.Struct, frozen=True, kw_only=True):
    """Whether a unit is ready, and if not, why not."""

    unit: UUID
    version: int
    readiness: ShownReadiness


def record_seen(unit: UUID, query: AsOf) -> Record:
    """The record now or at a past time; Refusal where the unit had not been received by then."""
    record = record_of(unit, as_of=query.as_of)
    if not record.version:
        raise Refusal("not-here-then", field="as_of")
    return record


class UnitView(View):
    """One unit."""

    tag = "units"

    @reads_unit
    def get(self, unit: UUID, query: AsOf) -> ShownUnit:
        """Look at a unit.

        Identity, readiness, damage, shortages, flags, releases, handover, registration and
        documents. With `as_of`, the record at that time of the server's clock.
        """
        return shown_unit(unit, self.seen.site, record_seen(unit, query), reader_of(self.person))


class ReadinessView(View):
    """Readiness of a unit."""

    tag = "units"

    @reads_unit
    def get(self, unit: UUID, query: AsOf) -> UnitReadiness:
        """Is a unit ready.

        Ready for stock, ready for its buyer, or not ready, with the reasons and the step or flag
        of each.
        """
        reader = reader_of(self.person)
        if query.as_of is None:
            kept = readiness_of(unit)
            return UnitReadiness(
                unit=unit, version=kept.version, readiness=kept_readiness(kept, reader)
            )
        record = record_seen(unit, query)
        answer = shown_readiness(readiness(record), reader)
        return UnitReadiness(unit=unit, version=record.version, readiness=answer)


class HistoryView(View):
    """History of a unit."""

    tag = "units"

    @reads_unit
    def get(self, unit: UUID, query: HistoryQuery) -> EventPage:
        """Read a unit's history.

        Its events in order, as they are in the log, in pages.
        """
        rows: list[Any] = events_of(unit, after=_version(query.cursor), limit=query.limit + 1)
        for row in rows:
            row["body"] = msgspec.Raw(row["body"].encode())
        mark = str(rows[query.limit - 1]["version"]) if len(rows) > query.limit else ""
        return EventPage(
            items=rows[: query.limit],
            next=address_after(self.request, mark),
            version=self.seen.version,
        )


def _version(cursor: str) -> int:
    text = decode(cursor) if cursor else "0"
    if not (text.isascii() and text.isdecimal() and len(text) < 10):
        raise Refusal("cursor-unfit")
    return int(text)
