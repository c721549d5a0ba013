"""Error pages, named in `prep.project.urls`."""

import sys

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from prep.actions.outages.refusals import refusal_of
from prep.pages.outages import page_instead


def not_found(request: HttpRequest, exception: Exception) -> HttpResponse:
    """404: no such page, or none this person may see; the two are deliberately the same."""
    return render(request, "404.html", status=404)


def failed(request: HttpRequest) -> HttpResponse:
    """503 where something the service needs is away, else 500: a mistake of ours."""
    away = refusal_of(sys.exc_info()[1])
    if away:
        return page_instead(request, away)
    return render(request, "500.html", status=500)
