"""Base view and decorators of the API's operations.

A handler states its input and answer in its signature: `query` and `body` are structs, the rest
comes from the URL. The decorators read and check the input, answer with what the handler returns,
and describe all of it, errors included, in the schema. A view only names the action it calls.
"""

from collections.abc import Callable, Sequence
from contextlib import closing
from functools import wraps
from typing import Any, ClassVar, get_type_hints

from django.http import HttpResponseBase
from rest_framework.parsers import BaseParser
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from api.inputs import read_body, read_file, read_query, stream_of
from api.media_types import Json, JsonBody, OneAnswer
from api.origin import note_device
from api.paging import Page
from api.preconditions import command_id, etag, unchanged
from api.schema import ANY_FILE, TABLES, Handler, OperationSchema, describe
from api.throttles import Window, Write
from prep.models import Person
from prep.queries.units import Seen, seen_by
from reports.document_check import limits

Method = Callable[..., Any]


class View(APIView):
    """Base class of a resource. `tag` is its heading in the schema."""

    tag: ClassVar[str]
    parser_classes: Sequence[type[BaseParser]] = (JsonBody,)
    renderer_classes = (Json,)
    content_negotiation_class = OneAnswer
    throttle_classes: Sequence[type[Window]] = (Write,)
    schema = OperationSchema()
    seen: Seen
    most_bytes: ClassVar[int]

    def __init_subclass__(cls) -> None:
        """How large a body it takes is what its parsers take."""
        super().__init_subclass__()
        cls.most_bytes = max(getattr(parser, "largest", 0) for parser in cls.parser_classes)

    def initial(self, request: Request, *args: Any, **path: Any) -> None:
        """What is asked before every handler: token, throttles, and the device, if one is named."""
        super().initial(request, *args, **path)
        note_device(request)

    @property
    def person(self) -> Person:
        """The signed-in person."""
        user = self.request.user
        assert isinstance(user, Person)  # the default permission admits nobody else
        return user


def reads(handler: Method) -> Any:
    """A GET: answers with what the handler returns."""

    @wraps(handler)
    def get(self: View, request: Request, **path: Any) -> HttpResponseBase:
        return _answer(handler(self, **_with_query(handler, request, path)))

    return describe(get, Handler.of(handler, "reads"))


def reads_file(handler: Method) -> Any:
    """A GET: answers with a file."""

    @wraps(handler)
    def get(self: View, request: Request, **path: Any) -> HttpResponseBase:
        return _answer(handler(self, **path))

    return describe(get, Handler.of(handler, "reads-file"))


def reads_unit(handler: Method) -> Any:
    """A GET of a unit: 404 for people who may not see it, with the unit's version as its ETag.

    Where If-None-Match names the present version, the answer is 304, which costs one statement
    however long the unit's history is.
    """

    @wraps(handler)
    def get(self: View, request: Request, **path: Any) -> HttpResponseBase:
        self.seen = seen_by(self.person, path["unit"])
        given = _with_query(handler, request, path)
        query = given.get("query")
        past = any(getattr(query, name, None) for name in ("known_at", "happened_by"))
        if not past and unchanged(request, self.seen.version):
            return Response(status=304, headers={"ETag": etag(self.seen.version)})
        response = _answer(answer := handler(self, **given))
        if not past:  # of the past an answer may change with what is entered later
            response["ETag"] = etag(answer.version)
        return response

    return describe(get, Handler.of(handler, "reads-unit"))


def accepts(handler: Method) -> Any:
    """A POST that asks for something to be made, identified by its Idempotency-Key."""
    struct = get_type_hints(handler)["body"]

    @wraps(handler)
    def post(self: View, request: Request, **path: Any) -> HttpResponseBase:
        body = read_body(request, struct)
        return Response(handler(self, command=command_id(request), body=body, **path), 201)

    return describe(post, Handler.of(handler, "accepts"))


def accepts_file(handler: Method) -> Any:
    """A POST of a file to be worked on, identified by its Idempotency-Key."""
    struct = get_type_hints(handler)["query"]

    @wraps(handler)
    def post(self: View, request: Request, **path: Any) -> HttpResponseBase:
        query, file = read_query(request, struct), read_file(request)
        answer = handler(self, command=command_id(request), query=query, file=file, **path)
        return Response(answer, 201)

    return describe(post, Handler.of(handler, "accepts-file"), request=TABLES)


def asks(handler: Method) -> Any:
    """A POST that is no single command: signing in, calculating, checking, a batch."""
    struct = get_type_hints(handler).get("body")

    @wraps(handler)
    def post(self: View, request: Request, **path: Any) -> HttpResponseBase:
        if struct:
            path["body"] = read_body(request, struct)
        return _answer(handler(self, **_with_query(handler, request, path)))

    return describe(post, Handler.of(handler, "asks"))


def checks(handler: Method) -> Any:
    """A GET for which nobody needs to sign in, limited by address."""

    @wraps(handler)
    def get(self: View, request: Request, **path: Any) -> HttpResponseBase:
        limits.count_number(request.META)
        return _answer(handler(self, **path))

    return describe(get, Handler.of(handler, "checks"))


def checks_file(handler: Method) -> Any:
    """A POST of a file to be looked at and not kept, without sign-in, limited by address."""
    struct = get_type_hints(handler)["query"]

    @wraps(handler)
    def post(self: View, request: Request, **path: Any) -> HttpResponseBase:
        limits.count_file(request.META)
        query = read_query(request, struct)
        with closing(stream_of(request)) as file:
            return _answer(handler(self, query=query, file=file, **path))

    return describe(post, Handler.of(handler, "checks-file"), request=ANY_FILE)


def _with_query(handler: Method, request: Request, path: dict[str, Any]) -> dict[str, Any]:
    struct = get_type_hints(handler).get("query")
    return {**path, "query": read_query(request, struct)} if struct else path


def _answer(answer: Any) -> HttpResponseBase:
    if isinstance(answer, HttpResponseBase):
        return answer
    if isinstance(answer, Page) and answer.next:
        return Response(answer, headers={"Link": f'<{answer.next}>; rel="next"'})
    return Response(status=204) if answer is None else Response(answer)
