"""Decoding of request bodies and query parameters into typed structs.

Strict: an unknown member is refused and no JSON value is converted to another type.
"""

from dataclasses import dataclass
from datetime import datetime
from typing import IO, Annotated, Any, TypeVar, cast

import msgspec
from rest_framework.request import Request

from api.media_types import raw_body
from prep.record.inputs.json_text import read_json
from prep.record.refusal import Refusal
from prep.record.struct_errors import convert, convert_texts
from reports.imports import MOST_BYTES

T = TypeVar("T", bound=msgspec.Struct)

# Text types no longer than the database columns that index them.
Code = Annotated[str, msgspec.Meta(min_length=1, max_length=60)]
Short = Annotated[str, msgspec.Meta(max_length=60)]
Name = Annotated[str, msgspec.Meta(max_length=120)]
Long = Annotated[str, msgspec.Meta(max_length=2000)]
Moment = Annotated[
    datetime,
    msgspec.Meta(tz=True, description="RFC 3339 with its offset, such as 2026-03-02T08:15:00Z."),
]
Digest = Annotated[str, msgspec.Meta(pattern="^[0-9a-f]{64}$")]
Pin = Annotated[str, msgspec.Meta(max_length=60, description="The PIN of whoever signs.")]
Document = Annotated[str, msgspec.Meta(max_length=900_000, description="The document in YAML.")]


class Body(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """A request body. A misspelled member is refused, so that nothing is left out silently."""


class Query(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """Query parameters of a request."""


def read_body(request: Request, struct: type[T]) -> T:
    """Decode the JSON body into a struct. An empty body counts as an empty object."""
    raw = raw_body(request)
    values = read_json(raw) if raw else {}
    if not isinstance(values, dict):
        raise Refusal("body-unfit")
    return convert(values, struct)


def read_query(request: Request, struct: type[T]) -> T:
    """Convert the query parameters into a struct; each may be given once."""
    sent = request.query_params
    for name in sent:
        if len(sent.getlist(name)) > 1:
            raise Refusal("parameter-repeated", field=name, parameter=name)
        if "\0" in sent[name]:
            raise Refusal("parameter-unfit", field=name, parameter=name)
    return convert_texts(sent.dict(), struct)


def read_picture(request: Request) -> bytes:
    """The bytes of the picture: the whole body, or the part `photo` of a multipart form."""
    if raw := raw_body(request):
        return raw
    part = request.FILES.get("photo")
    if part is None:
        raise Refusal("part-missing", field="photo")
    return bytes(part.read())


def stream_of(request: Request) -> IO[bytes]:
    """The file of a request, to be read in pieces: the whole body, or the part `file` of a form."""
    body: Any = request.data
    if hasattr(body, "read"):
        return cast("IO[bytes]", body)
    part = request.FILES.get("file")
    if part is None:
        raise Refusal("no-file-sent", field="file")
    return cast("IO[bytes]", part)


@dataclass(frozen=True)
class SentFile:
    """A file in a request, with its name where the request says one."""

    content: bytes
    name: str


def read_file(request: Request) -> SentFile:
    """The file of a request: the whole body, or the part `file` of a multipart form."""
    if raw := raw_body(request):
        return SentFile(raw, "")
    part = request.FILES.get("file")
    if part is None:
        raise Refusal("table-missing", field="file")
    if (part.size or 0) > MOST_BYTES:
        raise Refusal("table-too-large", field="file", most=MOST_BYTES // 1024**2)
    return SentFile(bytes(part.read()), part.name or "")
