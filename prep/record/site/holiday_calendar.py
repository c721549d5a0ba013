"""Public holidays of a country and region, as the library of that name knows them."""

from collections.abc import Mapping
from datetime import date
from functools import cache
from importlib import import_module
from typing import Any


def regions_of(country: str) -> tuple[str, ...] | None:
    """Codes of the regions of a country that have holidays of their own; None for no country."""
    known = _library().list_supported_countries(include_aliases=False)
    return tuple(known[country]) if country in known else None


@cache
def public_holidays(country: str, region: str, year: int) -> Mapping[date, str]:
    """Public holidays of a year, with the days on which they are observed instead, and their names
    as the country calls them."""
    found = _library().country_holidays(country, subdiv=region or None, years=year)
    return dict(found)


@cache
def _library() -> Any:
    """The library, loaded when a calendar is first asked for and not with every command."""
    return import_module("holidays")
