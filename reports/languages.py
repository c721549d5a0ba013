"""The language a document is written in: the one asked for, else that of whoever asks.

It is settled once, when the request is accepted, and kept in its parameters: the same document
made again has the same words, whatever language the person has chosen since.
"""

from prep.record.refusal import Refusal
from prep.words.reader import ENGLISH, LANGUAGES, Reader
from reports.document_kind import Request
from reports.models import DocumentRequest


def settled_language(request: Request) -> str:
    """The language of a requested document; raises Refusal for one there is not."""
    return checked_language(request.parameters.language or request.person.language)


def checked_language(language: str) -> str:
    """The language, if documents are written in it; raises Refusal where not."""
    if language not in LANGUAGES:
        raise Refusal("no-such-language", field="language")
    return language


def reader_for(request: DocumentRequest, time_zone: str = ENGLISH.time_zone) -> Reader:
    """The reader a document is made for; English where its request settled no language."""
    language = request.parameters.get("language", ENGLISH.language)
    return Reader(language=language, time_zone=time_zone)
