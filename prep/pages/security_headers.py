"""Middleware for the Content-Security-Policy and Referrer-Policy headers."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse

POLICY = (
    "default-src 'self'; img-src 'self' data: blob:; object-src 'none'; base-uri 'none'; "
    "frame-ancestors 'none'; form-action 'self'"
)


class SecurityHeaders:
    """Allow scripts and styles from our own files only, so that nothing a user typed can run."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Add the headers to a response that does not set them itself."""
        response = self.get_response(request)
        response.setdefault("Content-Security-Policy", POLICY)
        response.setdefault("Referrer-Policy", "same-origin")
        return response
