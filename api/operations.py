"""What every operation of the API has in common, so that a view only says which action it is.

A handler states its input and answer in its signature: `query` and `body` are structs, the rest
comes from the address. The decorators read and check the input, answer with what the handler
returns, and describe all of it, errors included, in the schema.
"""

from collections.abc import Callable, Sequence
from functools import wraps
from typing import Any, ClassVar, Literal, get_type_hints

from django.http import HttpResponseBase
from rest_framework.parsers import BaseParser
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from api.answers.outcomes import shown_outcome
from api.inputs import read_body, read_picture, read_query
from api.media_types import Json, JsonBody
from api.paging import Page
from api.preconditions import command_of, etag, unchanged, version_wanted
from api.schema import PICTURES, Handler, OperationSchema, describe
from api.throttles import Window, Write
from prep.actions.write_path import Outcome
from prep.models import Person
from prep.queries.units import Seen, seen_by

Method = Callable[..., Any]
IfMatch = Literal["", "optional", "required"]


class View(APIView):
    """A resource. `tag` is the heading it stands under in the schema."""

    tag: ClassVar[str]
    parser_classes: Sequence[type[BaseParser]] = (JsonBody,)
    renderer_classes = (Json,)
    throttle_classes: Sequence[type[Window]] = (Write,)
    schema = OperationSchema()
    seen: Seen

    @property
    def person(self) -> Person:
        """Whoever is signed in."""
        user = self.request.user
        assert isinstance(user, Person)  # the default permission lets nobody else in
        return user


def reads(handler: Method) -> Any:
    """A GET that answers with what the handler returns."""

    @wraps(handler)
    def get(self: View, request: Request, **path: Any) -> HttpResponseBase:
        return _answer(handler(self, **_with_query(handler, request, path)))

    return describe(get, Handler.of(handler, "reads"))


def reads_file(handler: Method) -> Any:
    """A GET that answers with a file."""

    @wraps(handler)
    def get(self: View, request: Request, **path: Any) -> HttpResponseBase:
        return _answer(handler(self, **path))

    return describe(get, Handler.of(handler, "reads file"))


def reads_unit(handler: Method) -> Any:
    """A GET of a unit: hidden from strangers, with the unit's version as its ETag.

    Whoever names the present version in If-None-Match is told that it still stands, which costs
    one statement whatever the unit's history.
    """

    @wraps(handler)
    def get(self: View, request: Request, **path: Any) -> HttpResponseBase:
        self.seen = seen_by(self.person, path["unit"])
        given = _with_query(handler, request, path)
        past = getattr(given.get("query"), "as_of", None)
        if past is None and unchanged(request, self.seen.version):
            return Response(status=304, headers={"ETag": etag(self.seen.version)})
        response = _answer(answer := handler(self, **given))
        response["ETag"] = etag(answer.version)
        return response

    return describe(get, Handler.of(handler, "reads unit"))


def commands(*, if_match: IfMatch = "") -> Callable[[Method], Any]:
    """A POST that is one command: named by its Idempotency-Key, answered with what was recorded.

    201 where it was carried out now, 200 where it had been before.
    """

    def decorate(handler: Method) -> Any:
        form = get_type_hints(handler)["body"]

        @wraps(handler)
        def post(self: View, request: Request, **path: Any) -> HttpResponseBase:
            body = read_body(request, form)
            version = None
            if if_match:
                version = version_wanted(
                    request,
                    lambda: seen_by(self.person, path["unit"]).version,
                    required=if_match == "required",
                )
            command = command_of(request, body.happened, version)
            return _recorded(handler(self, command=command, body=body, **path))

        return describe(post, Handler.of(handler, "commands", if_match=if_match))

    return decorate


def commands_with_picture(handler: Method) -> Any:
    """A command whose body is a picture; the rest of it stands in the query parameters."""
    form = get_type_hints(handler)["query"]

    @wraps(handler)
    def post(self: View, request: Request, **path: Any) -> HttpResponseBase:
        query = read_query(request, form)
        command = command_of(request, query.happened, None)
        return _recorded(
            handler(self, command=command, query=query, content=read_picture(request), **path)
        )

    return describe(post, Handler.of(handler, "commands"), request=PICTURES)


def asks(handler: Method) -> Any:
    """A POST that records nothing of a unit: signing in, working something out."""
    form = get_type_hints(handler).get("body")

    @wraps(handler)
    def post(self: View, request: Request, **path: Any) -> HttpResponseBase:
        if form:
            path["body"] = read_body(request, form)
        return _answer(handler(self, **path))

    return describe(post, Handler.of(handler, "asks"))


def erases(handler: Method) -> Any:
    """A DELETE; done twice, it is done once."""

    @wraps(handler)
    def delete(self: View, request: Request, **path: Any) -> HttpResponseBase:
        return _answer(handler(self, **path))

    return describe(delete, Handler.of(handler, "erases"))


def _with_query(handler: Method, request: Request, path: dict[str, Any]) -> dict[str, Any]:
    form = get_type_hints(handler).get("query")
    return {**path, "query": read_query(request, form)} if form else path


def _answer(answer: Any) -> HttpResponseBase:
    if isinstance(answer, HttpResponseBase):
        return answer
    if isinstance(answer, Page) and answer.next:
        return Response(answer, headers={"Link": f'<{answer.next}>; rel="next"'})
    return Response(status=204) if answer is None else Response(answer)


def _recorded(answer: Any) -> HttpResponseBase:
    if not isinstance(answer, Outcome):
        return Response(answer, 201)
    status = 200 if answer.repeated else 201
    return Response(shown_outcome(answer), status, headers={"ETag": etag(answer.version)})
