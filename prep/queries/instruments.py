"""Instruments. One query each."""

from collections.abc import Iterable
from datetime import datetime

import msgspec

from prep.models import Event, Instrument
from prep.record.facts import InstrumentFacts
from prep.record.instrument.events import InstrumentMoved, InstrumentRecorded
from prep.record.reference_events import decode
from prep.record.refusal import Refusal


def instrument_at(code: str, sites: Iterable[str]) -> tuple[str, InstrumentFacts]:
    """Site and facts of an instrument of one of the sites; Refusal where there is none."""
    instruments = Instrument.objects.filter(pk=code, site_id__in=list(sites))
    row = instruments.values_list("site_id", "facts").first()
    if row is None:
        raise Refusal("no-such-instrument", field="instrument", instrument=code)
    return row[0], msgspec.convert(row[1], InstrumentFacts)


def instrument_facts(code: str) -> InstrumentFacts:
    """Present facts of an instrument at any site; Refusal where there is none."""
    facts = Instrument.objects.filter(pk=code).values_list("facts", flat=True).first()
    if facts is None:
        raise Refusal("no-such-instrument", field="instrument", instrument=code)
    return msgspec.convert(facts, InstrumentFacts)


def instruments_at(site: str) -> list[InstrumentFacts]:
    """Facts of the instruments of a site, sorted by kind and name."""
    instruments = Instrument.objects.filter(site=site).order_by("kind", "name")
    return [
        msgspec.convert(facts, InstrumentFacts)
        for facts in instruments.values_list("facts", flat=True)
    ]


def instrument_history(code: str) -> list[tuple[datetime, InstrumentFacts]]:
    """Each state of an instrument, with when it was recorded, the first one first."""
    events = Event.objects.filter(stream="instrument", stream_id=code).order_by("version")
    states = []
    for recorded, body in events.values_list("recorded", "body"):
        event = decode(body)
        assert isinstance(event, InstrumentRecorded | InstrumentMoved)
        states.append((recorded, event.facts))
    return states


def instrument_kinds() -> dict[str, frozenset[str]]:
    """The kinds of instrument of all yards, each with the quantities that one of it measures."""
    kinds: dict[str, set[str]] = {}
    for kind, quantity in Instrument.objects.values_list("kind", "facts__quantity").distinct():
        kinds.setdefault(kind, set()).add(quantity)
    return {kind: frozenset(kinds[kind]) for kind in sorted(kinds)}
