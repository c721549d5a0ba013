"""Bodies and query parameters into typed structs, strictly: nothing unknown, nothing converted."""

import re
from datetime import datetime
from typing import Annotated, Any, Final, TypeVar

import msgspec
from rest_framework.request import Request

from api.media_types import raw_body
from prep.record.refusal import Refusal
from prep.record.struct_errors import explain

T = TypeVar("T")

# Texts as long as the columns that index them.
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

_NUL: Final = re.compile(rb"(?<!\\)(?:\\\\)*\\u0000")


class Body(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """What is sent. A misspelt member is refused, so that nothing is silently left out."""


class CommandBody(Body, frozen=True, kw_only=True):
    """A command. `happened` is the device's time; without it, the moment it arrives."""

    happened: Moment | None = None


class ReasonBody(CommandBody, frozen=True, kw_only=True):
    """Why."""

    reason: Long


class Query(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """Query parameters."""


def given(body: msgspec.Struct) -> dict[str, Any]:
    """What a body or query gives an action, by name."""
    return {name: getattr(body, name) for name in body.__struct_fields__ if name != "happened"}


def read_body(request: Request, form: type[T]) -> T:
    """The JSON body as `form`. An empty body stands for an object without members."""
    raw = raw_body(request)
    if _NUL.search(raw):
        raise Refusal("body-unfit", "A text here has a NUL character in it. Send it without.")
    try:
        return msgspec.json.decode(raw or b"{}", type=form)
    except msgspec.ValidationError as wrong:
        raise _unfit(str(wrong), form) from wrong
    except (msgspec.DecodeError, UnicodeDecodeError, RecursionError) as wrong:
        raise Refusal("body-unfit", f"The body is not JSON: {wrong}.") from wrong


def read_query(request: Request, form: type[T]) -> T:
    """The query parameters as `form`; each may be given once."""
    sent = request.query_params
    for name in sent:
        if len(sent.getlist(name)) > 1:
            raise Refusal("parameter-unfit", f"Give “{name}” once.", field=name)
        if "\0" in sent[name]:
            raise Refusal("parameter-unfit", f"“{name}” has a NUL in it.", field=name)
    try:
        return msgspec.convert(sent.dict(), form, strict=False)
    except msgspec.ValidationError as wrong:
        no = _unfit(str(wrong), form)
        raise Refusal("parameter-unfit", no.text, field=no.field) from wrong


def read_picture(request: Request) -> bytes:
    """The picture: the whole body, or the part `photo` of a form."""
    if raw := raw_body(request):
        return raw
    part = request.FILES.get("photo")
    if part is None:
        raise Refusal("body-unfit", "Send the picture as the part “photo”.", field="photo")
    return bytes(part.read())


def _unfit(text: str, form: type[Any]) -> Refusal:
    """What msgspec found, in a sentence, with the member it is about."""
    sentence, path = explain(text, form)
    return Refusal("body-unfit", sentence, field=path)
