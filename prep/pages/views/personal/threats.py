"""The page on threats: what might happen, what answers it, and what stays open. For anybody."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from prep.pages.reader_language import language_of
from prep.words.personal.threats import THREATS
from prep.words.reader import Reader, say


def threats(request: HttpRequest) -> HttpResponse:
    """Show the page, in the reader's language; nobody needs to sign in for it."""
    reader = Reader(language=language_of(request))
    shown = [
        {
            "name": one.name,
            "threat": say(reader, one.threat),
            "answer": say(reader, one.answer),
            "open": say(reader, one.open) if one.open else "",
        }
        for one in THREATS
    ]
    return render(request, "threats.html", {"threats": shown})
