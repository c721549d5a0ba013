"""What every form of every page has: who typed it, for which unit, and a command that counts once.

The hidden fields are those of `shared/form_top.html`: `command`, `typed_by`, what is being copied
from paper, and `happened` where the form waited on the tablet for a signal.
"""

from collections.abc import Callable, Iterable
from datetime import datetime
from functools import wraps
from typing import Any
from uuid import UUID, uuid4
from zoneinfo import ZoneInfo

from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpRequest, HttpResponseBase, QueryDict
from django.utils import timezone
from django.utils.dateparse import parse_datetime

from prep.actions.photo_store import LARGEST
from prep.actions.write_path import Command
from prep.models import Person
from prep.queries.sites import time_zones
from prep.queries.units import Seen, seen_by
from prep.record.refusal import Refusal

Page = Callable[..., HttpResponseBase]


def signed_in(view: Page) -> Page:
    """A page for people who signed in. Clock time it sets (`tell_time`) ends with the page."""

    @wraps(view)
    def in_its_own_time(request: HttpRequest, **address: Any) -> HttpResponseBase:
        with timezone.override(None):
            return view(request, **address)

    return login_required(in_its_own_time)


def tell_time(sites: Iterable[str]) -> None:
    """Say moments in the yards' clock time, where they share one; else in UTC."""
    zones = time_zones(sites)
    if len(zones) == 1:
        timezone.activate(ZoneInfo(zones.pop()))


def person(request: HttpRequest) -> Person:
    """Whoever is signed in; only views behind `signed_in` ask."""
    assert isinstance(request.user, Person)
    return request.user


def unit_seen(request: HttpRequest, unit: UUID) -> Seen:
    """A unit this person may see, in its yard's time; for anybody else there is no such page."""
    try:
        seen = seen_by(person(request), unit)
    except Refusal as no:
        raise Http404(no.text) from no
    tell_time([seen.site])
    return seen


def new_command() -> str:
    """The id a form carries, made when the page is drawn: sent twice, it counts once."""
    return str(uuid4())


def command_of(request: HttpRequest) -> Command:
    """The command a form stands for. A form without a usable id is a new wish.

    Tablets are shared and forms wait on them: one that somebody else typed is refused, whoever is
    signed in by now.
    """
    typed_by = text_of(request, "typed_by")
    if typed_by not in {"", str(person(request).pk)}:
        raise Refusal(
            "typed-by-another",
            f"Somebody else typed this; {person(request)} is signed in now. Nothing was recorded. "
            "Change the person, or enter it under your own name if you read it yourself.",
        )
    happened = _moment(text_of(request, "happened"))
    try:
        return Command(UUID(request.POST.get("command", "")), happened, device="page")
    except ValueError:
        return Command(happened=happened, device="page")


def _moment(text: str) -> datetime | None:
    try:
        found = parse_datetime(text) if text else None
    except ValueError:
        found = None
    if text and (found is None or timezone.is_naive(found)):
        raise Refusal(
            "moment-unclear",
            f"“{text}” does not say when this happened. Enter it again; now counts then.",
            field="happened",
        )
    return found


def clock_moment(text: str) -> datetime | None:
    """A moment as typed, in the yard's clock time where it names no zone; None for no moment."""
    try:
        found = parse_datetime(text) if text else None
    except ValueError:
        return None
    if found and timezone.is_naive(found):
        return timezone.make_aware(found)
    return found


def text_of(request: HttpRequest, name: str) -> str:
    """A field as typed, without the white space around it."""
    return request.POST.get(name, "").strip()


def picture_of(request: HttpRequest) -> bytes:
    """The picture a form carries."""
    sent = request.FILES.get("photo")
    if sent is None:
        raise Refusal("photo-missing", "Choose or take a picture first.", field="photo")
    if (sent.size or 0) > LARGEST:
        raise Refusal("photo-too-large", "The picture is over 12 MB. Send a smaller one.")
    return bytes(sent.read())


class Sent:
    """What a form sent, as text."""

    def __init__(self, form: QueryDict) -> None:
        self._form = form

    def __getitem__(self, name: str) -> str:
        return str(self._form[name]).strip()

    def __contains__(self, name: str) -> bool:
        return name in self._form

    def get(self, name: str) -> str:
        """A field, empty where it was not sent."""
        return str(self._form.get(name, "")).strip()

    def getlist(self, name: str) -> list[str]:
        """Every value of a field that may have several."""
        return [str(value) for value in self._form.getlist(name)]
