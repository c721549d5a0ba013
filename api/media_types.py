"""What goes over the wire: JSON in, JSON out, pictures as they are.

A body of JSON is left as bytes here; the operation decodes it straight into the type it asks for,
so that nothing is converted twice and nothing unknown slips through.
"""

from collections.abc import Mapping
from typing import IO, Any, ClassVar

import msgspec
from rest_framework.parsers import BaseParser
from rest_framework.renderers import BaseRenderer
from rest_framework.request import Request

from prep.actions.photo_store import LARGEST
from prep.record.refusal import Refusal


class JsonBody(BaseParser):
    """The bytes of a JSON body."""

    media_type = "application/json"
    largest: ClassVar[int] = 1024 * 1024

    def parse(
        self,
        stream: IO[Any],
        media_type: str | None = None,
        parser_context: Mapping[str, Any] | None = None,
    ) -> Any:
        """The body as sent, as bytes."""
        body = bytes(stream.read(self.largest + 1))
        if len(body) > self.largest:
            raise Refusal("too-large", f"Send at most {self.largest // 1024} kB.")
        return body


class PictureBody(JsonBody):
    """The bytes of a picture sent as the whole body."""

    media_type = "image/*"
    largest = LARGEST


def raw_body(request: Request) -> bytes:
    """The body's bytes, as the parsers above leave it; nothing where there is no body."""
    body: Any = request.data
    return body if isinstance(body, bytes) else b""


class Json(BaseRenderer):
    """JSON of structs and of rows: moments as RFC 3339, ids as text."""

    media_type = "application/json"
    format = "json"
    charset = None
    render_style = "binary"

    def render(
        self,
        data: Any,
        accepted_media_type: str | None = None,
        renderer_context: Mapping[str, Any] | None = None,
    ) -> bytes:
        """The answer's bytes; nothing for an answer without content."""
        return b"" if data is None else msgspec.json.encode(data)
