"""Parsers and the renderer: JSON in, JSON out, pictures unchanged.

The parsers leave a body as bytes. The operation decodes it into the type it asks for, so that
nothing is converted twice and unknown members are refused.
"""

from collections.abc import Iterable, Mapping
from tempfile import SpooledTemporaryFile
from typing import IO, Any, ClassVar, Final

import msgspec
from rest_framework.negotiation import BaseContentNegotiation, DefaultContentNegotiation
from rest_framework.parsers import BaseParser
from rest_framework.renderers import BaseRenderer
from rest_framework.request import Request

from prep.actions.beside_the_log.pictures import MOST_BYTES as LARGEST_PICTURE
from prep.record.refusal import Refusal
from reports.document_check import limits
from reports.imports import MOST_BYTES

PIECE: Final = 1 << 20  # bytes read at once


class JsonBody(BaseParser):
    """Parser of a JSON body, which it leaves as bytes."""

    media_type = "application/json"
    largest: ClassVar[int] = 1024 * 1024

    def parse(
        self,
        stream: IO[Any],
        media_type: str | None = None,
        parser_context: Mapping[str, Any] | None = None,
    ) -> Any:
        """The bytes of the body; refused where there are too many."""
        body = bytes(stream.read(self.largest + 1))
        if len(body) > self.largest:
            raise Refusal("too-large", most=self.largest // 1024)
        return body


class BatchBody(JsonBody):
    """Parser of a batch of commands: 16 kB for each of 500."""

    largest = 8 * 1024 * 1024


class PictureBody(JsonBody):
    """Parser of a picture sent as the whole body."""

    media_type = "image/*"
    largest = LARGEST_PICTURE


class CsvBody(JsonBody):
    """Parser of a CSV file sent as the whole body."""

    media_type = "text/csv"
    largest = MOST_BYTES


class WorkbookBody(CsvBody):
    """Parser of a workbook sent as the whole body."""

    media_type = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


class AnyFileBody(CsvBody):
    """Parser of a file that does not say what it is."""

    media_type = "application/octet-stream"


class StreamedBody(BaseParser):
    """Parser of a file of any kind as the whole body, which it keeps on disk where it is large."""

    media_type = "*/*"
    largest: ClassVar[int] = limits.LARGEST

    def parse(
        self,
        stream: IO[Any],
        media_type: str | None = None,
        parser_context: Mapping[str, Any] | None = None,
    ) -> Any:
        """The file, to be read from its start; refused where it is too large."""
        file = SpooledTemporaryFile(max_size=PIECE)  # noqa: SIM115  # closed by whoever reads it
        try:
            while piece := stream.read(PIECE):
                file.write(piece)
                if file.tell() > limits.LARGEST:
                    raise limits.too_large()
        except BaseException:
            file.close()
            raise
        file.seek(0)
        return file


def raw_body(request: Request) -> bytes:
    """The bytes of the body, as the parsers leave them; empty without a body."""
    body: Any = request.data
    return body if isinstance(body, bytes) else b""


class OneAnswer(BaseContentNegotiation):
    """Whatever a request accepts, the one representation there is (RFC 9110, 12.4.1, allows that).

    A refusal would be of no help to anybody, and keep files from who accepts pictures only.
    """

    def select_parser(self, request: Request, parsers: Iterable[BaseParser]) -> BaseParser | None:
        """The parser of the media type sent, as usual."""
        return DefaultContentNegotiation().select_parser(request, parsers)

    def select_renderer(
        self,
        request: Request,
        renderers: Iterable[BaseRenderer],
        format_suffix: str | None = None,
    ) -> tuple[BaseRenderer, str]:
        """The first renderer."""
        first = next(iter(renderers))
        return first, str(first.media_type)


class Json(BaseRenderer):
    """Renderer of structs and rows as JSON: moments as RFC 3339, ids as text."""

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
        """The bytes of the answer; empty for an answer without content."""
        return b"" if data is None else msgspec.json.encode(data)
