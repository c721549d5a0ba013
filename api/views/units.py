"""Endpoints of one unit: look at, history, readiness."""

from datetime import datetime
from typing import Annotated, Any
from uuid import UUID

import msgspec

from api.answers.outcomes import ShownReadiness, kept_readiness, shown_readiness
from api.answers.past import ShownPast, shown_past
from api.answers.units import ShownUnit, shown_unit
from api.inputs import Moment, Query
from api.operations import View, reads_unit
from api.paging import Page, address_after, decode
from prep.queries.events import events_of
from prep.queries.readers import reader_of
from prep.queries.records import past_of, record_of
from prep.queries.units import readiness_of
from prep.record.refusal import Refusal
from prep.record.token.scopes import READ
from prep.record.unit.events import UnitEvent
from prep.record.unit.readiness import readiness
from prep.record.unit.state import Record
from prep.record.unit.views.past import View as PastView


class PastQuery(Query, frozen=True, kw_only=True):
    """A past moment to show the record at, in one of two ways; without either, as it is now.

    `known_at` is what the record said at that time of the server's clock. `happened_by` is what had
    happened by then, by all that is known now.
    """

    known_at: Moment | None = None
    happened_by: Moment | None = None

    def view(self) -> tuple[PastView, datetime] | None:
        """Which view is asked for, and its moment; Refusal where both are."""
        if self.known_at and self.happened_by:
            raise Refusal("one-view-only", field="happened_by")
        if self.known_at:
            return PastView.KNOWN_AT, self.known_at
        return (PastView.HAPPENED_BY, self.happened_by) if self.happened_by else None


class HistoryQuery(Query, frozen=True, kw_only=True):
    """Paging of a history; with `known_at` or `happened_by` the events of that view alone."""

    known_at: Moment | None = None
    happened_by: Moment | None = None
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
    as_of: ShownPast | None


def record_seen(unit: UUID, query: PastQuery) -> tuple[Record, ShownPast | None]:
    """The record now, or a view of its past; Refusal where the unit had not been received then."""
    asked = query.view()
    if asked is None:
        return record_of(unit), None
    past = past_of(unit, *asked)
    if past.record.received is None:
        raise Refusal("not-here-then", field=asked[0].value.replace("-", "_"))
    return past.record, shown_past(past)


class UnitView(View):
    """One unit."""

    tag = "units"
    reading = READ

    @reads_unit
    def get(self, unit: UUID, query: PastQuery) -> ShownUnit:
        """Look at a unit.

        Identity, readiness, damage, shortages, flags, releases, handover, registration and
        documents. With `known_at` or `happened_by` a view of the past, which `as_of` describes.
        """
        record, past = record_seen(unit, query)
        return shown_unit(unit, self.seen.site, record, reader_of(self.person), past)


class ReadinessView(View):
    """Readiness of a unit."""

    tag = "units"
    reading = READ

    @reads_unit
    def get(self, unit: UUID, query: PastQuery) -> UnitReadiness:
        """Is a unit ready.

        Ready for stock, ready for its buyer, or not ready, with the reasons and the step or flag
        of each. With `known_at` or `happened_by` a view of the past, which `as_of` describes.
        """
        reader = reader_of(self.person)
        if query.view() is None:
            kept = readiness_of(unit)
            return UnitReadiness(
                unit=unit,
                version=kept.version,
                readiness=kept_readiness(kept, reader),
                as_of=None,
            )
        record, past = record_seen(unit, query)
        answer = shown_readiness(readiness(record), reader)
        return UnitReadiness(unit=unit, version=record.version, readiness=answer, as_of=past)


class HistoryView(View):
    """History of a unit."""

    tag = "units"
    reading = READ

    @reads_unit
    def get(self, unit: UUID, query: HistoryQuery) -> EventPage:
        """Read a unit's history.

        Its events in order, as they are in the log, in pages. `known_at` leaves out what was
        recorded later, `happened_by` what happened later.
        """
        rows: list[Any] = events_of(
            unit,
            after=_version(query.cursor),
            limit=query.limit + 1,
            known_at=query.known_at,
            happened_by=query.happened_by,
        )
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
