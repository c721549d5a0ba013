"""Reading requests of pages: the person, the unit, the fields, and the form's command id.

The hidden fields of a form are those of `shared/form_top.html`: `command`, `typed_by`, the
handwritten source being copied, and `happened` where the form waited on the tablet for a signal,
with `clock`, the tablet's time when it is sent.
"""

import re
from collections.abc import Callable, Iterable
from datetime import datetime
from functools import wraps
from typing import Any, Final
from uuid import UUID, uuid4
from zoneinfo import ZoneInfo

from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpRequest, HttpResponseBase
from django.utils import timezone

from prep.actions.beside_the_log.pictures import PHOTO
from prep.actions.submission import Submission
from prep.models import Person
from prep.pages.device_cookie import origin_of
from prep.queries.sites import time_zones
from prep.queries.units import Seen, seen_by
from prep.record.inputs.spelling import clock_of, id_of, moment_of
from prep.record.moments import drift_of
from prep.record.refusal import Refusal

Page = Callable[..., HttpResponseBase]
GUEST: Final = "guest"  # of a session: the guest who opened a visit in this browser


def signed_in(view: Page) -> Page:
    """Require sign-in for a page. A time zone that the page sets ends with the request."""

    @wraps(view)
    def in_own_time_zone(request: HttpRequest, **address: Any) -> HttpResponseBase:
        with timezone.override(None):
            return view(request, **address)

    def unless_a_guest(request: HttpRequest, **address: Any) -> HttpResponseBase:
        if not request.user.is_authenticated and request.session.get(GUEST):
            raise Http404  # for a guest there is nothing but the visit
        return for_people(request, **address)

    for_people = login_required(in_own_time_zone)
    return wraps(view)(unless_a_guest)


def use_time_zone_of(sites: Iterable[str]) -> None:
    """Show moments in the yards' time zone where they share one, else in UTC."""
    zones = time_zones(sites)
    if len(zones) == 1:
        timezone.activate(ZoneInfo(zones.pop()))


def person(request: HttpRequest) -> Person:
    """The signed-in person; for views behind `signed_in` only."""
    assert isinstance(request.user, Person)
    return request.user


def unit_seen(request: HttpRequest, unit: UUID) -> Seen:
    """A unit this person may see, with moments in its yard's time zone; 404 for anybody else."""
    try:
        seen = seen_by(person(request), unit)
    except Refusal as no:
        raise Http404 from no
    use_time_zone_of([seen.site])
    return seen


def new_command() -> str:
    """A command id for a form, made when the page is rendered: sent twice, it counts once."""
    return str(uuid4())


def submission_of(request: HttpRequest) -> Submission:
    """Id and time of the command of a form. A form without a valid id gets a new one.

    Tablets are shared and forms wait on them for a signal: a form that another person typed is
    refused.
    """
    typed_by = text_of(request, "typed_by")
    if typed_by not in {"", str(person(request).pk)}:
        raise Refusal("typed-by-another", person=str(person(request)))
    happened, clock = _device_time(request, "happened"), _device_time(request, "clock")
    command = id_of(request.POST.get("command", "")) or uuid4()
    drift = drift_of(timezone.now(), clock) if clock else None
    return Submission(command, happened, device="page", drift=drift, origin=origin_of(request))


def _device_time(request: HttpRequest, name: str) -> datetime | None:
    """A moment by the tablet's clock; None where the form says none."""
    text = text_of(request, name)
    moment = moment_of(text)
    if text and moment is None:
        raise Refusal("device-time-unclear", field=name, typed=text)
    return moment


def clock_moment(text: str) -> datetime | None:
    """Parse a typed moment, in the yard's time zone where it has none; None where it is invalid."""
    moment = clock_of(text)
    if moment and timezone.is_naive(moment):
        return timezone.make_aware(moment)
    return moment


def text_of(request: HttpRequest, name: str) -> str:
    """A field of the form, stripped; empty where it was not sent."""
    return request.POST.get(name, "").strip()


def number_of(request: HttpRequest, name: str) -> int:
    """A whole number of the form; Refusal names the field where there is none."""
    typed = text_of(request, name)
    if not re.fullmatch("[0-9]{1,6}", typed):
        raise Refusal("not-a-count", field=name, typed=typed)
    return int(typed)


def picture_of(request: HttpRequest) -> bytes:
    """The bytes of the picture in the form."""
    sent = request.FILES.get("photo")
    if sent is None:
        raise Refusal("photo-missing", field="photo")
    if (sent.size or 0) > PHOTO.most_bytes:
        raise Refusal("photo-too-large", field="photo", most=PHOTO.most_bytes // 1024**2)
    return bytes(sent.read())
