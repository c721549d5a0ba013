"""Endpoints of documents of several units or of none, visible only to who requested them."""

from uuid import UUID

from django.http import FileResponse

from api.operations import View, accepts, asks, reads, reads_file
from api.views.unit.documents import (
    AskBody,
    ShownDocumentRequest,
    ShownRemake,
    file_of,
    proof_of,
    shown,
    shown_remake,
)
from prep.models import Person
from prep.queries.readers import reader_of
from prep.record.refusal import Refusal
from reports import queue
from reports.models import DocumentRequest


class AskForDocumentView(View):
    """Asking for a document; what was asked for is a list (`api.lists`)."""

    tag = "documents"

    @accepts
    def post(self, command: UUID, body: AskBody) -> ShownDocumentRequest:
        """Ask for a document of several units, or of none."""
        asked = queue.ask(
            actor=self.person, kind=body.kind, command=command, parameters=body.parameters
        )
        return shown(asked, reader_of(self.person))


class DocumentView(View):
    """One document."""

    tag = "documents"

    @reads
    def get(self, document: UUID) -> ShownDocumentRequest:
        """See how far a document of yours is."""
        return shown(_document(self.person, document), reader_of(self.person))


class DocumentFileView(View):
    """A finished file."""

    tag = "documents"

    @reads_file
    def get(self, document: UUID) -> FileResponse:
        """Download a document of yours."""
        return file_of(_document(self.person, document), self.person)


class DocumentProofView(View):
    """Proof that the log issued a document."""

    tag = "documents"

    @reads_file
    def get(self, document: UUID) -> FileResponse:
        """Download the proof of issue of a document of yours, to be kept beside it."""
        return proof_of(_document(self.person, document))


class CancelView(View):
    """Canceling a document."""

    tag = "documents"

    @asks
    def post(self, document: UUID) -> ShownDocumentRequest:
        """Stop making a document of yours."""
        requested = _document(self.person, document)
        queue.cancel(requested)
        return shown(requested, reader_of(self.person))


class RetryView(View):
    """Making a failed or canceled document again."""

    tag = "documents"

    @asks
    def post(self, document: UUID) -> ShownDocumentRequest:
        """Make a document of yours that failed or was cancelled."""
        requested = _document(self.person, document)
        queue.retry(requested)
        return shown(requested, reader_of(self.person))


class RemakeView(View):
    """Making a lost or damaged file again."""

    tag = "documents"

    @asks
    def post(self, document: UUID) -> ShownRemake:
        """Have the lost or damaged file of a document of yours made again."""
        job = queue.remake(_document(self.person, document), self.person)
        return shown_remake(job, reader_of(self.person))

    @reads
    def get(self, document: UUID) -> ShownRemake:
        """See what became of making the file of a document of yours again."""
        return shown_remake(
            queue.remake_of(_document(self.person, document)), reader_of(self.person)
        )


def _document(person: Person, document: UUID) -> DocumentRequest:
    request = queue.requests_by(person).filter(pk=document).first()
    if request is None:
        raise Refusal("no-such-document")
    queue.roles_for(person, request)
    return request
