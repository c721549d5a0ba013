"""Instruments. One query each."""

from collections.abc import Iterable

import msgspec

from prep.models import (
    Instrument,
)
from prep.queries.paging import Row
from prep.record.facts import InstrumentFacts
from prep.record.refusal import Refusal


def instrument_rows(sites: Iterable[str], *, site: str = "", kind: str = "") -> list[Row]:
    """Instruments of the sites, by kind and name."""
    found = Instrument.objects.filter(site_id__in=list(sites))
    if site:
        found = found.filter(site=site)
    if kind:
        found = found.filter(kind=kind)
    columns = ("code", "site", "kind", "name", "due", "out_of_service")
    return list(found.order_by("kind", "name", "code").values(*columns))


def instrument_at(code: str, sites: Iterable[str]) -> tuple[str, InstrumentFacts]:
    """Site and facts of an instrument of the sites."""
    found = Instrument.objects.filter(pk=code, site_id__in=list(sites))
    row = found.values_list("site_id", "facts").first()
    if row is None:
        raise Refusal(
            "no-such-instrument",
            f"There is no instrument “{code}” at your sites. Read the code on its label.",
            field="instrument",
        )
    return row[0], msgspec.convert(row[1], InstrumentFacts)


def instrument_facts(code: str) -> InstrumentFacts:
    """The present facts of an instrument."""
    found = Instrument.objects.filter(pk=code).values_list("facts", flat=True).first()
    if found is None:
        raise Refusal(
            "no-such-instrument",
            f"There is no instrument “{code}”. Read the code on its label.",
            field="instrument",
        )
    return msgspec.convert(found, InstrumentFacts)


def instruments_at(site: str) -> list[InstrumentFacts]:
    """The instruments of a site, by kind and name."""
    found = Instrument.objects.filter(site=site).order_by("kind", "name")
    return [
        msgspec.convert(facts, InstrumentFacts) for facts in found.values_list("facts", flat=True)
    ]
