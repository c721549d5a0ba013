"""Endpoints of instruments: list, record, look at, and the readings taken with one."""

import datetime
from typing import Any
from uuid import UUID

import msgspec

from api.inputs import Moment, Query
from api.operations import View, reads
from api.paging import Page, PageQuery, moment_of, page
from prep.queries.entries import readings_by_instrument
from prep.queries.instruments import instrument_at, instrument_rows
from prep.queries.people import sites_of
from prep.queries.readers import reader_of
from prep.record.facts import InstrumentFacts
from prep.words.unit.limits import kept_limit_text


class InstrumentQuery(Query, frozen=True, kw_only=True):
    """Filters of the list."""

    site: str = ""
    kind: str = ""


class InstrumentRow(msgspec.Struct, frozen=True, kw_only=True):
    """An instrument in the list."""

    code: str
    site: str
    kind: str
    name: str
    due: str
    out_of_service: str


class InstrumentList(msgspec.Struct, frozen=True, kw_only=True):
    """Instruments by kind and name."""

    items: list[InstrumentRow]


class ShownInstrument(msgspec.Struct, frozen=True, kw_only=True):
    """An instrument as it is now."""

    site: str
    instrument: InstrumentFacts


class DecidedQuery(PageQuery, frozen=True, kw_only=True):
    """The period, both ends optional."""

    since: Moment | None = None
    until: Moment | None = None


class DecidedReading(msgspec.Struct, frozen=True, kw_only=True):
    """A reading taken with an instrument, with its unit."""

    id: str
    step: str
    line: str
    position: str
    current: bool
    raw: str
    verdict: str
    canonical: str
    unit_symbol: str
    limit_stated: str
    instrument_due: str
    person_name: str
    happened: datetime.datetime
    recorded: datetime.datetime
    unit: UUID
    site: str
    maker: str
    serial: str
    state: str


class DecidedPage(Page[DecidedReading], frozen=True, kw_only=True):
    """Readings, the last first."""


class InstrumentsView(View):
    """The instruments of your sites."""

    tag = "instruments"

    @reads
    def get(self, query: InstrumentQuery) -> InstrumentList:
        """List instruments."""
        rows: Any = instrument_rows(sites_of(self.person), site=query.site, kind=query.kind)
        return InstrumentList(items=rows)


class InstrumentView(View):
    """One instrument."""

    tag = "instruments"

    @reads
    def get(self, code: str) -> ShownInstrument:
        """Look at an instrument."""
        site, facts = instrument_at(code, sites_of(self.person))
        return ShownInstrument(site=site, instrument=facts)


class DecidedView(View):
    """Readings taken with an instrument."""

    tag = "instruments"

    @reads
    def get(self, code: str, query: DecidedQuery) -> DecidedPage:
        """List what an instrument decided.

        The readings taken with it in a period, superseded ones too: the ones to check when the
        instrument turns out to be faulty.
        """
        rows = readings_by_instrument(
            sites_of(self.person),
            code,
            since=query.since,
            until=query.until,
            after=moment_of(query.cursor),
            limit=query.limit + 1,
        )
        reader = reader_of(self.person)
        for row in rows:
            row["limit_stated"] = kept_limit_text(row.pop("limit"), reader)
        return page(DecidedPage, self.request, rows, query.limit, "happened")
