"""Middleware for the language of pages: the signed-in person's, else the browser's."""

from collections.abc import Callable
from contextlib import suppress

from django.http import HttpRequest, HttpResponse
from django.utils import translation
from django.utils.cache import patch_vary_headers

from prep.actions.outages.refusals import DATABASE_FAILURES
from prep.models import Person


class ReaderLanguage:
    """Translate templates for whoever reads them, for the length of one request.

    A tablet is shared, so its cookie and its browser decide only while nobody is signed in.
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Answer in the reader's language, and say in the headers which one it is."""
        with translation.override(language_of(request)):
            response = self.get_response(request)
            response.setdefault("Content-Language", translation.get_language())
        patch_vary_headers(response, ("Accept-Language", "Cookie"))
        return response


def language_of(request: HttpRequest) -> str:
    """Code of the language that a request is answered in."""
    with suppress(*DATABASE_FAILURES):  # without a database, nobody knows the person
        if isinstance(request.user, Person):
            return request.user.language
    return translation.get_language_from_request(request)
