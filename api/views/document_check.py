"""Endpoints on which anybody checks a document, by its number or its file. They need no sign-in."""

from typing import IO, Annotated

import msgspec
from django.utils import translation
from rest_framework.parsers import MultiPartParser
from rest_framework.permissions import AllowAny

from api.inputs import Query
from api.media_types import StreamedBody
from api.operations import View, checks, checks_file
from prep.record.token.scopes import READ
from prep.words.reader import Reader
from reports.document_check.answers import FileAnswer, NumberAnswer
from reports.document_check.files import check_file
from reports.document_check.numbers import check_number


class FileQuery(Query, frozen=True, kw_only=True):
    """The document that a file is held against, where there is one."""

    number: Annotated[
        str, msgspec.Meta(max_length=500, description="A document's number, in any spelling.")
    ] = ""


class Open(View):
    """Base of both: for anybody, and whoever asks is not even looked at."""

    tag = "documents"
    reading = READ
    asking = READ
    authentication_classes = ()
    permission_classes = (AllowAny,)
    throttle_classes = ()


class NumberCheckView(Open):
    """Where the document of a number stands."""

    @checks
    def get(self, number: str) -> NumberAnswer:
        """Check a document by its number.

        Nobody needs to sign in. The number may be spelled in any way. The answer is that of the
        page `/verify/{number}`, in the language of Accept-Language; it names no person. At most 60
        a minute from one address.
        """
        return check_number(number, _reader())


class FileCheckView(Open):
    """What a file is."""

    parser_classes = (MultiPartParser, StreamedBody)

    @checks_file
    def post(self, query: FileQuery, file: IO[bytes]) -> FileAnswer:
        """Check a document by its file.

        Nobody needs to sign in. Send the file as the whole body or as the part `file`. It is looked
        up by its SHA-256, and not kept. At most 100 MB, and 10 a minute from one address.
        """
        return check_file(file, _reader(), query.number)


def _reader() -> Reader:
    """Whoever asks, in the language that the request was read in."""
    return Reader(language=translation.get_language() or "en")
