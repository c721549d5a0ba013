"""Endpoints of instruments: list, record, look at, and the readings taken with one."""

import datetime
from typing import Annotated, Any
from uuid import UUID

import msgspec

from api.inputs import Body, Code, CommandBody, Long, Moment, Name, Query, Short
from api.operations import View, commands, reads
from api.paging import Page, PageQuery, moment_of, page
from prep.actions import instruments
from prep.actions.write_path import Command
from prep.queries.entries import readings_by_instrument
from prep.queries.instruments import instrument_at, instrument_rows
from prep.queries.people import sites_of
from prep.record.facts import InstrumentFacts
from prep.record.refusal import Refusal
from prep.record.unit.views.entry_preview import read_entry
from prep.rules.quantities.quantity import QUANTITIES

Quantity = Annotated[str, msgspec.Meta(max_length=60, description="With its unit: “600 ft·lbf”.")]
Percent = Annotated[str, msgspec.Meta(pattern=r"^([0-9]{1,2}(\.[0-9]{1,6})?)?$")]


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


class InstrumentBody(Body, frozen=True, kw_only=True):
    """All facts of an instrument; what is left out is recorded as not stated."""

    code: Annotated[str, msgspec.Meta(min_length=1, max_length=40)]
    kind: Annotated[str, msgspec.Meta(min_length=1, max_length=40)]
    name: Name
    quantity: Short
    serial: Short = ""
    low: Quantity = ""
    high: Quantity = ""
    resolution: Quantity = ""
    percent_of_reading: Percent = ""
    percent_of_scale: Percent = ""
    absolute: Quantity = ""
    calibrated: datetime.date | None = None
    due: datetime.date | None = None
    certificate: Name = ""
    out_of_service: Annotated[str, msgspec.Meta(max_length=300)] = ""

    def facts(self) -> InstrumentFacts:
        """The instrument as recorded in the log; Refusal where a quantity cannot be read."""
        if self.quantity not in QUANTITIES:
            raise Refusal(
                "unknown-quantity",
                f"There is no quantity “{self.quantity}”. Known: {', '.join(QUANTITIES)}.",
                field="instrument.quantity",
            )
        for field in ("low", "high", "resolution", "absolute"):
            if text := getattr(self, field):
                read_entry(text, self.quantity, f"instrument.{field}", None)
        values = {name: getattr(self, name) for name in self.__struct_fields__}
        for field in ("calibrated", "due"):
            values[field] = values[field].isoformat() if values[field] else ""
        return InstrumentFacts(**values)


class RecordBody(CommandBody, frozen=True, kw_only=True):
    """The instrument as it now is, and what changed: registered, calibrated, dropped …"""

    site: Code
    instrument: InstrumentBody
    reason: Long


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

    @commands()
    def post(self, command: Command, body: RecordBody) -> ShownInstrument:
        """Record an instrument as it now is.

        Send all facts each time: when it is registered, calibrated or taken out of service.
        Earlier readings keep the instrument as it was then.
        """
        facts = body.instrument.facts()
        instruments.record_instrument(
            actor=self.person, command=command, site=body.site, facts=facts, reason=body.reason
        )
        return ShownInstrument(site=body.site, instrument=facts)


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
        return page(DecidedPage, self.request, rows, query.limit, "happened")
