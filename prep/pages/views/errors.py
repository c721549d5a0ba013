"""Error pages, named in `prep.project.urls`."""

import sys

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from prep.actions.outages.refusals import refusal_of
from prep.pages.outages import page_instead
from prep.pages.refusals import shown_refusal
from prep.record.refusal import Refusal
from prep.record.refusal_codes import RefusalClass


def unreadable(request: HttpRequest, why: Refusal | None = None) -> HttpResponse:
    """400 or 413: a request that is refused before its page looks at it."""
    too_large = why is not None and why.refusal_class is RefusalClass.TOO_LARGE
    page = {"why": shown_refusal(why, request) if why else None}
    return render(request, "400.html", page, status=413 if too_large else 400)


def bad_request(request: HttpRequest, exception: Exception) -> HttpResponse:
    """400: what the framework cannot read, such as a form of too many fields."""
    return unreadable(request)


def not_found(request: HttpRequest, exception: Exception) -> HttpResponse:
    """404: no such page, or none this person may see; the two are deliberately the same."""
    return render(request, "404.html", status=404)


def failed(request: HttpRequest) -> HttpResponse:
    """503 where something the service needs is away, else 500: a mistake of ours."""
    away = refusal_of(sys.exc_info()[1])
    if away:
        return page_instead(request, away)
    return render(request, "500.html", status=500)
