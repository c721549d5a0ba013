"""Endpoints of units: list, look at, history, readiness."""

from datetime import datetime
from typing import Annotated, Any, Literal
from uuid import UUID

import msgspec

from api.answers.outcomes import ShownReadiness, shown_readiness
from api.answers.units import ShownUnit, UnitRow, shown_unit, state_words
from api.inputs import Moment, Query
from api.operations import View, reads, reads_unit
from api.paging import Page, PageQuery, address_after, decode, moment_of, page
from prep.queries.events import events_of
from prep.queries.people import sites_of
from prep.queries.readers import reader_of
from prep.queries.records import record_of
from prep.queries.units import UnitFilter, units_at
from prep.record.refusal import Refusal
from prep.record.unit.events import UnitEvent
from prep.record.unit.readiness import readiness
from prep.record.unit.state import Record
from prep.record.unit.views.unit_state import UnitState
from prep.words.readiness import shown_reasons
from prep.words.unit.states import state_in_row


class UnitQuery(PageQuery, frozen=True, kw_only=True):
    """Filters of the list."""

    site: Annotated[str, msgspec.Meta(description="Code of one of your sites.")] = ""
    state: UnitState | None = None
    model: str = ""
    serial: Annotated[str, msgspec.Meta(description="Any part of the serial.")] = ""
    look_alike: Annotated[
        str, msgspec.Meta(description="A serial that a glance may take for the one wanted.")
    ] = ""
    buyer: str = ""
    tractor: str = ""
    registration: Annotated[
        Literal["", "not-due", "due", "overdue", "sent", "accepted", "refused"],
        msgspec.Meta(description="Where the warranty registration stands today."),
    ] = ""
    ready_for_stock: bool | None = None
    ready_for_buyer: bool | None = None
    open_flags: Annotated[
        bool | None, msgspec.Meta(description="Units with an open flag, or without any.")
    ] = None


class UnitPage(Page[UnitRow], frozen=True, kw_only=True):
    """Units, the last received first."""


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


class UnitsView(View):
    """Units of your sites."""

    tag = "units"

    @reads
    def get(self, query: UnitQuery) -> UnitPage:
        """List units.

        Units of your sites, the last received first, in pages.
        """
        wanted = {name: getattr(query, name) for name in UnitFilter.__dataclass_fields__}
        rows = units_at(
            sites_of(self.person),
            UnitFilter(**wanted),
            after=moment_of(query.cursor, UUID),
            limit=query.limit + 1,
        )
        reader = reader_of(self.person)
        for row in rows:
            row["state_words"] = state_words(state_in_row(row, reader))
            row["reasons"] = shown_reasons(row["reasons"], reader)
        return page(UnitPage, self.request, rows, query.limit, "received")


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
        record = record_seen(unit, query)
        answer = shown_readiness(readiness(record), reader_of(self.person))
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
