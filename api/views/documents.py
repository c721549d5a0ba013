"""Documents of several units, or of none: seen by whoever asked for them, and by nobody else."""

from typing import Final
from uuid import UUID

from django.http import FileResponse

from api.operations import View, asks, commands, reads, reads_file
from api.views.unit.documents import (
    AskBody,
    DocumentRequestList,
    ShownDocumentRequest,
    file_of,
    shown,
)
from prep.actions.write_path import Command
from prep.models import Person
from prep.record.refusal import Refusal
from reports import queue
from reports.models import DocumentRequest

NEWEST: Final = 200


class DocumentsView(View):
    """Documents you asked for that are not of one unit."""

    tag = "documents"

    @reads
    def get(self) -> DocumentRequestList:
        """List what you asked for: the newest 200."""
        mine = queue.requests_by(self.person)[:NEWEST]
        return DocumentRequestList(items=[shown(found) for found in mine])

    @commands()
    def post(self, command: Command, body: AskBody) -> ShownDocumentRequest:
        """Ask for a document of several units, or of none."""
        asked = queue.ask(
            actor=self.person, kind=body.kind, command=command.id, parameters=body.parameters
        )
        return shown(asked)


class DocumentView(View):
    """One document."""

    tag = "documents"

    @reads
    def get(self, document: UUID) -> ShownDocumentRequest:
        """See how far a document of yours is."""
        return shown(_found(self.person, document))


class DocumentFileView(View):
    """A finished file."""

    tag = "documents"

    @reads_file
    def get(self, document: UUID) -> FileResponse:
        """Download a document of yours."""
        return file_of(_found(self.person, document))


class CancelView(View):
    """A document that is not wanted any more."""

    tag = "documents"

    @asks
    def post(self, document: UUID) -> ShownDocumentRequest:
        """Stop making a document of yours."""
        found = _found(self.person, document)
        queue.cancel(found)
        return shown(found)


class RetryView(View):
    """A document wanted after all."""

    tag = "documents"

    @asks
    def post(self, document: UUID) -> ShownDocumentRequest:
        """Make a document of yours that failed or was cancelled."""
        found = _found(self.person, document)
        queue.retry(found)
        return shown(found)


def _found(person: Person, document: UUID) -> DocumentRequest:
    found = queue.requests_by(person).filter(pk=document).first()
    if found is None:
        raise Refusal(
            "no-such-document",
            "You have asked for no such document. Your list holds those you did.",
        )
    return found
