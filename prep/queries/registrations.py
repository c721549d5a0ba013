"""Overdue registrations: a due date passes without any event of the unit.

Whether one is overdue is therefore computed when it is asked, by the date at the unit's site.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from typing import Any
from zoneinfo import ZoneInfo

from django.db.models import Q
from django.utils import timezone

from prep.models import Site
from prep.record.unit.commands.registrations import is_late


def today_at(sites: Iterable[str]) -> dict[str, str]:
    """Today's date (ISO 8601) at each site, in its own time zone. One query."""
    zones = Site.objects.filter(pk__in=list(sites)).values_list("code", "time_zone")
    return {code: timezone.localdate(timezone=ZoneInfo(zone)).isoformat() for code, zone in zones}


def overdue(today: Mapping[str, str]) -> Q:
    """Condition: the unit's registration was not sent, and its due date has passed at its site.

    The dates are a range, so that an index in their order answers it.
    """
    sites_by_day = defaultdict(list)
    for site, day in today.items():
        sites_by_day[day].append(site)
    past = Q(pk__in=[])
    for day, sites in sites_by_day.items():
        past |= Q(site__in=sites, registration_due__gt="", registration_due__lt=day)
    return Q(registration="due") & past


def stands(row: Mapping[str, Any], today: Mapping[str, str]) -> str:
    """State of the registration of a unit's row today: as stored, or “overdue”."""
    late = is_late(row["registration"], row["registration_due"], today[row["site"]])
    return "overdue" if late else str(row["registration"])
