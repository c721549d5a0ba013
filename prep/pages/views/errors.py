"""Error pages, named in `prep.project.urls`."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render


def not_found(request: HttpRequest, exception: Exception) -> HttpResponse:
    """404: no such page, or none this person may see; the two are deliberately the same."""
    return render(request, "404.html", status=404)


def failed(request: HttpRequest) -> HttpResponse:
    """500: an unexpected error."""
    return render(request, "500.html", status=500)
