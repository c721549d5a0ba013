"""Facts of the yard's days: its time zone, and what came on one of them."""

from datetime import datetime, time, timedelta
from zoneinfo import ZoneInfo

from django.utils import timezone

from prep.actions.facts.fact import Asked, Fact
from prep.models import Site, Unit
from prep.queries.sites import yard_at


def zone(asked: Asked) -> Fact:
    """The yard's time zone: its days of the past are those of the zone it had then.

    One query where nobody's standing there was looked up, or the moment is a past one.
    """
    if asked.happened is not None:
        return Fact(ZoneInfo(yard_at(asked.site, recorded=asked.happened).details.time_zone))
    zone = asked.zone or Site.objects.values_list("time_zone", flat=True).get(pk=asked.site)
    return Fact(ZoneInfo(zone))


def first_of_shipment(asked: Asked) -> Fact:
    """Whether no unit of the model came to the yard before on the day this one comes.

    Common practice, no published source: the record has no bill of lading, and a truck brings what
    comes on one day. A unit whose model is not known yet counts as a first one. Read under the lock
    of the serials, so that of two received at once one alone is first.
    """
    model = asked.command.model
    if not model:
        return Fact(value=True)
    here = zone(asked).value
    day = (asked.happened or timezone.now()).astimezone(here).date()
    begin = datetime.combine(day, time.min, here)
    others = Unit.objects.filter(
        site=asked.site,
        model=model,
        joined_into="",
        received__gte=begin,
        received__lt=datetime.combine(day + timedelta(days=1), time.min, here),
    )
    return Fact(not others.exists())
