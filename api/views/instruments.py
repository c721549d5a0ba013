"""Endpoint of one instrument."""

import msgspec

from api.operations import View, reads
from prep.queries.instruments import instrument_at
from prep.queries.people import sites_of
from prep.record.facts import InstrumentFacts
from prep.record.token.scopes import READ


class ShownInstrument(msgspec.Struct, frozen=True, kw_only=True):
    """An instrument as it is now."""

    site: str
    instrument: InstrumentFacts


class InstrumentView(View):
    """One instrument."""

    tag = "instruments"
    reading = READ

    @reads
    def get(self, code: str) -> ShownInstrument:
        """Look at an instrument."""
        site, facts = instrument_at(code, sites_of(self.person))
        return ShownInstrument(site=site, instrument=facts)
