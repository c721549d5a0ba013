"""The OpenAPI 3.1 description of the API, generated from the handlers.

Struct types become components through msgspec, so that description and code cannot differ.
"""

import inspect
import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any, Final, get_args, get_type_hints

import msgspec
from drf_spectacular.extensions import OpenApiAuthenticationExtension, OpenApiSerializerExtension
from drf_spectacular.openapi import AutoSchema
from drf_spectacular.plumbing import ResolvedComponent
from drf_spectacular.utils import OpenApiExample, OpenApiParameter, OpenApiResponse, extend_schema

from api.answers.outcomes import Recorded, RecordedInvitation, RecordedReference
from api.errors import MEDIA_TYPE, Problem
from api.preconditions import CLOCK, DEVICE, HAPPENED, KEY
from prep.record.command import Command
from prep.record.examples import example_of
from prep.record.person.commands.invitations import OPENING

REFERENCE: Final = "#/components/schemas/{name}"
TAG: Final = Command.__struct_config__.tag_field

PROBLEMS: Final = {
    400: "The request cannot be understood: a header is missing or unfit, or the body is no JSON "
    "object.",
    401: "No token, or one that is not valid any more.",
    403: "Your roles at this site do not allow it, or the PIN is not yours.",
    404: "There is no such thing, or none that you may see.",
    409: "The state of the unit does not allow it now; `detail` says what to do first.",
    412: "The unit changed since the version named in If-Match.",
    413: "Too large.",
    415: "Send the media type described here.",
    422: "Understood, but not acceptable as it is: fields to correct, each named in `errors`, an "
    "ambiguous or unreadable entry, or an Idempotency-Key that was used for something else.",
    428: "If-Match is missing.",
    429: "Too many requests; Retry-After says how many seconds to wait.",
    503: "Something the service needs is away for the moment, such as its database or room on its "
    "disk. Nothing was recorded; send the same again after Retry-After.",
}
PICTURES: Final = {
    "image/*": {"type": "string", "format": "binary"},
    "multipart/form-data": {
        "type": "object",
        "properties": {"photo": {"type": "string", "format": "binary"}},
        "required": ["photo"],
    },
}
_FILE: Final = {"type": "string", "format": "binary"}
TABLES: Final = {
    "text/csv": _FILE,
    "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet": _FILE,
    "application/octet-stream": _FILE,
    "multipart/form-data": {
        "type": "object",
        "properties": {"file": _FILE},
        "required": ["file"],
    },
}
ANY_FILE: Final = {
    "application/octet-stream": _FILE,
    "multipart/form-data": TABLES["multipart/form-data"],
}
ERRORS: Final = {
    "reads": (400, 401, 403, 404, 422, 503),
    "reads-unit": (400, 401, 404, 409, 422, 503),
    "reads-file": (400, 401, 404, 409, 503),
    "commands": (400, 401, 403, 404, 409, 413, 415, 422, 429, 503),
    "accepts": (400, 401, 403, 404, 409, 413, 415, 422, 429, 503),
    "accepts-file": (400, 401, 403, 404, 409, 413, 415, 422, 429, 503),
    "asks": (400, 401, 403, 404, 409, 413, 415, 422, 429, 503),
    "checks": (400, 429, 503),
    "checks-file": (400, 413, 415, 422, 429, 503),
}


@dataclass(frozen=True)
class Handler:
    """An operation as its handler's signature and docstring describe it."""

    kind: str
    summary: str
    description: str
    body: Any
    query: Any
    answer: Any

    @classmethod
    def of(cls, handler: Callable[..., Any], kind: str) -> "Handler":
        """Read a handler's signature and docstring."""
        hints = get_type_hints(handler)
        summary, _, rest = (inspect.getdoc(handler) or "").partition("\n")
        return cls(
            kind=kind,
            summary=summary.rstrip("."),
            description=rest.strip(),
            body=hints.get("body"),
            query=hints.get("query"),
            answer=hints["return"],
        )


def describe(method: Any, handler: Handler, **more: Any) -> Any:
    """Attach a handler's description to the method a view answers with."""
    return extend_schema(
        **{
            "operation_id": re.sub(r"\W+", "_", handler.summary).strip("_").lower(),
            "summary": handler.summary,
            "description": handler.description or handler.summary + ".",
            "request": handler.body,
            "responses": {**_answers(handler), **problems(ERRORS[handler.kind])},
            "parameters": [*_headers(handler), *_query_parameters(handler.query)],
            **more,
        }
    )(method)


def describe_command(post: Any, command: type[Command]) -> Any:
    """Describe the endpoint of a command by its struct."""
    of_unit = command.stream == "unit"
    summary, _, rest = (inspect.getdoc(command) or "").partition("\n")
    answer = _answer_of(command)
    before = "Recorded before, under the same Idempotency-Key: the first outcome again."
    statuses = set(ERRORS["commands"])
    if of_unit and not command.creates:
        statuses |= {412, 428} if command.must_match else {412}
    return extend_schema(
        operation_id=command.tag().replace(".", "_").replace("-", "_"),
        summary=summary.rstrip("."),
        description=f"{rest.strip() or summary} {_who_may(command)}",
        request=PICTURES if command.attachment else command,
        responses={
            201: OpenApiResponse(answer, "Recorded."),
            200: OpenApiResponse(answer, before),
            **problems(statuses),
        },
        parameters=[
            *_command_headers(command),
            *(_query_parameters(command) if command.attachment else ()),
        ],
        examples=[] if command.attachment else [_example(command)],
    )(post)


def one_of_commands(commands: Iterable[type[Command]]) -> dict[str, Any]:
    """The schema of a tagged command, one of several; its tag says which."""
    at = {command.tag(): REFERENCE.format(name=command.__name__) for command in commands}
    return {
        "required": [TAG],
        "oneOf": [{"$ref": reference} for reference in at.values()],
        "discriminator": {"propertyName": TAG, "mapping": at},
    }


def _answer_of(command: type[Command]) -> type[msgspec.Struct]:
    if command.stream == "unit":
        return Recorded
    return RecordedInvitation if issubclass(command, OPENING) else RecordedReference


def _who_may(command: type[Command]) -> str:
    own = ["whoever it is about"] if command.permission.own else []
    roles = ", ".join([*sorted(role.value for role in command.permission.roles), *own])
    return f"Roles: {roles}." + (" Signed with the PIN." if command.signs() else "")


def _example(command: type[Command]) -> OpenApiExample:
    return OpenApiExample(command.tag(), value=example_of(command), request_only=True)


def _command_headers(command: type[Command]) -> list[OpenApiParameter]:
    text = "A UUID of your choice, new for each command and the same when you send it again."
    headers = [
        _header(KEY, text, required=True),
        _header(DEVICE, "What the device is called in the record."),
        _header(HAPPENED, "When it happened by the device, RFC 3339; without it, now."),
        _header(
            CLOCK,
            "The device's time now, RFC 3339: where it is off by more than two minutes, "
            "Happened-At is corrected by as much.",
        ),
        _header("ETag", "Version after the command.", response=[200, 201]),
    ]
    if command.stream == "unit" and not command.creates:
        text = "ETag of the unit as you saw it; the command is refused where it changed since."
        headers.append(_header("If-Match", text, required=command.must_match))
    return headers


def _answers(handler: Handler) -> dict[Any, Any]:
    if handler.answer is type(None):
        return {204: OpenApiResponse(description="Done.")}
    if handler.kind == "reads-file":
        return {(200, "*/*"): OpenApiResponse(bytes, "The file.")}
    accepted = handler.kind in {"accepts", "accepts-file"}
    status, text = (201, "Accepted.") if accepted else (200, "As asked.")
    responses: dict[Any, Any] = {status: OpenApiResponse(handler.answer, text)}
    if handler.kind == "reads-unit":
        text = "The version named in If-None-Match stands."
        responses[304] = OpenApiResponse(description=text)
    return responses


def problems(statuses: Iterable[int]) -> dict[Any, Any]:
    """Answers with these statuses, described."""
    return {
        (status, MEDIA_TYPE): OpenApiResponse(Problem, PROBLEMS[status])
        for status in sorted(statuses)
    }


def _header(name: str, text: str, *, required: bool = False, **more: Any) -> OpenApiParameter:
    return OpenApiParameter(
        name, str, OpenApiParameter.HEADER, description=text, required=required, **more
    )


def _headers(handler: Handler) -> list[OpenApiParameter]:
    headers = []
    if handler.kind in {"accepts", "accepts-file"}:
        text = "A UUID of your choice, new for each request and the same when you send it again."
        headers.append(_header(KEY, text, required=True))
    if handler.kind == "reads-unit":
        headers.append(_header("If-None-Match", "ETag you already have."))
        headers.append(_header("ETag", "Version of the unit.", response=[200, 304]))
    return headers


def _query_parameters(struct: Any) -> Iterable[OpenApiParameter]:
    if struct is None:
        return []
    hints = get_type_hints(struct, include_extras=True)
    return [
        OpenApiParameter(
            field.name,
            msgspec.json.schema(_without_none(hints[field.name])),
            OpenApiParameter.QUERY,
            required=field.required,
            description=_description(hints[field.name]),
        )
        for field in msgspec.structs.fields(struct)
    ]


def _without_none(hint: Any) -> Any:
    """The type without None: a parameter that may be left out may not be null."""
    options = get_args(hint)
    if type(None) in options:
        rest = [option for option in options if option is not type(None)]
        return rest[0]
    return hint


def _description(hint: Any) -> str:
    for part in (hint, *get_args(hint)):
        for extra in getattr(part, "__metadata__", ()):
            if isinstance(extra, msgspec.Meta) and extra.description:
                return extra.description
    return ""


class OperationSchema(AutoSchema):
    """Puts an operation under its view's tag."""

    def get_tags(self) -> list[str]:
        """The tag of the view."""
        return [str(getattr(self.view, "tag", "other"))]


class TokenScheme(OpenApiAuthenticationExtension):  # type: ignore[no-untyped-call]  # as below
    """Describes how a program says who it is."""

    target_class = "api.authentication.OwnToken"
    name = "token"

    def get_security_definition(self, auto_schema: Any) -> dict[str, str]:
        """The header. Its word is `Token`, so OpenAPI's `http` kinds do not fit (RFC 9110 11.1)."""
        return {
            "type": "apiKey",
            "in": "header",
            "name": "Authorization",
            "description": "`Authorization: Token …` with the token that `POST sign-in` answers.",
        }


class StructComponents(OpenApiSerializerExtension):  # type: ignore[no-untyped-call]  # untyped hook of the library
    """Describes a struct and every struct it holds as components."""

    target_class = "msgspec.Struct"
    match_subclasses = True

    def get_name(self, auto_schema: Any, direction: Any) -> str:
        """The name of the struct."""
        return str(self.target.__name__)

    def get_identity(self, auto_schema: Any, direction: Any) -> str:
        """The name by which other structs refer to it."""
        return self.get_name(auto_schema, direction)

    def map_serializer(self, auto_schema: Any, direction: Any) -> Any:
        """The JSON Schema of the struct; the structs it holds are registered beside it."""
        _, components = msgspec.json.schema_components([self.target], ref_template=REFERENCE)
        own = components.pop(self.target.__name__)
        if issubclass(self.target, Command):  # its endpoint says already which command it is
            own["required"] = [name for name in own["required"] if name != TAG]
        for name, schema in components.items():
            component = ResolvedComponent(  # type: ignore[no-untyped-call]  # untyped library
                name=name, type=ResolvedComponent.SCHEMA, object=name, schema=schema
            )
            auto_schema.registry.register_on_missing(component)
        return own
