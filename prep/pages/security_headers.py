"""Middleware for the headers that bound what a browser does with an answer, and what it keeps."""

from collections.abc import Callable
from typing import Final

from django.http import HttpRequest, HttpResponse

CONTENT_POLICY: Final = (
    "default-src 'self'; img-src 'self' data: blob:; object-src 'none'; base-uri 'none'; "
    "frame-ancestors 'none'; form-action 'self'"
)
# What a page of ours never asks a browser for. A picture is taken by the tablet's own camera
# program, which needs none of this.
CLOSED: Final = (
    "accelerometer",
    "autoplay",
    "browsing-topics",
    "camera",
    "clipboard-read",
    "display-capture",
    "fullscreen",
    "geolocation",
    "gyroscope",
    "hid",
    "magnetometer",
    "microphone",
    "midi",
    "payment",
    "screen-wake-lock",
    "serial",
    "usb",
    "xr-spatial-tracking",
)
HEADERS: Final = {
    "Content-Security-Policy": CONTENT_POLICY,
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": ", ".join(f"{feature}=()" for feature in CLOSED),
    "Referrer-Policy": "same-origin",
    # A tablet is shared: nothing of one person's pages is left in it for the next. Answers that are
    # the same for everybody say otherwise themselves.
    "Cache-Control": "no-store",
}


class SecurityHeaders:
    """Scripts and styles of our own files only, no sensors, nothing kept."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Add the headers to a response that does not set them itself."""
        response = self.get_response(request)
        for name, value in HEADERS.items():
            response.setdefault(name, value)
        return response
