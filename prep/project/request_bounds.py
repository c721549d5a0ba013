"""Middleware that refuses, before anything is parsed, what no endpoint should have to read.

A body larger than its endpoint takes, or encoded (nobody knows what a compressed one unpacks to);
a NUL in an address or a form, which PostgreSQL cannot store. The refusal is in words: a page, or a
problem document below the API's address.
"""

from collections.abc import Callable, Iterable
from typing import Any, Final

from django.http import HttpRequest, HttpResponse, UnreadablePostError

from api.errors import problem_answer
from prep.actions.outages.refusals import refusal_of
from prep.pages.views.errors import unreadable
from prep.record.inputs.sizes import AROUND, KILOBYTE, most_of
from prep.record.refusal import Refusal

API: Final = "/api/"
MOST_DIGITS: Final = 15  # of a length that is told
FORM: Final = "application/x-www-form-urlencoded"
PLAIN: Final = frozenset({"", "identity"})


class RequestBounds:
    """The bounds of every request, of whatever endpoint."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Pass the request on; its endpoint is known only in `process_view`."""
        return self.get_response(request)

    def process_view(
        self, request: HttpRequest, view: Any, args: Any, address: dict[str, Any]
    ) -> HttpResponse | None:
        """The refusal of a request out of bounds; None for any other."""
        of_api = request.path.startswith(API)
        try:
            _check_body(request, view)
            _check_texts(map(str, address.values()), "address")
            if not of_api:
                _check_form(request, view)
        except UnreadablePostError as cut:
            return self.process_exception(request, cut)
        except Refusal as no:
            return _refused(request, no)
        return None

    def process_exception(self, request: HttpRequest, wrong: Exception) -> HttpResponse | None:
        """The refusal of a body that broke off: whoever sent it hung up, which is no mistake of
        ours. None of any other failure, and of a file that cannot be kept here.
        """
        if not isinstance(wrong, UnreadablePostError) or refusal_of(wrong):
            return None
        return _refused(request, Refusal("body-cut-off"))


def _refused(request: HttpRequest, no: Refusal) -> HttpResponse:
    return problem_answer(no) if request.path.startswith(API) else unreadable(request, no)


def _check_body(request: HttpRequest, view: Any) -> None:
    if request.headers.get("Content-Encoding", "").strip().lower() not in PLAIN:
        raise Refusal("body-encoded")
    stated = str(request.META.get("CONTENT_LENGTH") or 0)
    known = stated.isascii() and stated.isdecimal() and len(stated) <= MOST_DIGITS
    most = most_of(view)
    if not known or int(stated) > most + AROUND:
        raise Refusal("too-large", most=most // KILOBYTE)


def _check_form(request: HttpRequest, view: Any) -> None:
    """The fields of a form; not where the view does not read one before it has looked who asks."""
    sent = [request.GET]
    if request.method == "POST" and not getattr(view, "csrf_exempt", False):
        if request.content_type == FORM and len(request.body) < int(request.META["CONTENT_LENGTH"]):
            raise Refusal("body-cut-off")  # the last field would be taken for a whole one
        sent.append(request.POST)
    for form in sent:
        for name, values in form.lists():
            _check_texts((name, *map(str, values)), name)


def _check_texts(texts: Iterable[str], field: str) -> None:
    if any("\0" in text for text in texts):
        raise Refusal("parameter-unfit", field=field, parameter=field.replace("\0", "�"))
