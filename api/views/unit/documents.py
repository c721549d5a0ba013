"""Endpoints of a unit's documents: list, request, follow, download, cancel, retry."""

from datetime import datetime
from io import BytesIO
from typing import Annotated, Any, Final
from uuid import UUID

import msgspec
from django.http import FileResponse

from api.inputs import Body
from api.operations import View, accepts, asks, reads, reads_file
from prep.actions.readings.personal import How
from prep.models import Person
from prep.queries.readers import reader_of
from prep.queries.units import seen_by
from prep.record.refusal import Refusal
from prep.record.roles import OFFICE
from prep.words.documents.remakes import remake_text
from prep.words.reader import Reader
from reports import queue
from reports.models import DocumentRequest, Remake
from reports.queue import may_stop

COLUMNS: Final = (
    "id",
    "kind",
    "cause",
    "state",
    "created",
    "finished",
    "tries",
    "steps_done",
    "steps_total",
    "name",
    "number",
    "media_type",
    "digest",
    "bytes",
    "erased",
)


class ShownDocumentRequest(msgspec.Struct, frozen=True, kw_only=True):
    """A document and its state: waiting, working, done, failed or cancelled.

    While it is being made, `steps_done` of `steps_total` are its progress; where it failed,
    `failure` is the reason. `digest` is the SHA-256 of the finished file.
    Of one that was `erased` for the personal data in it, no file is left.
    """

    id: UUID
    unit: UUID | None
    kind: str
    cause: str
    state: str
    created: datetime
    finished: datetime | None
    tries: int
    steps_done: int
    steps_total: int
    failure: str
    name: str
    number: str
    media_type: str
    digest: str
    bytes: int
    erased: datetime | None
    replaces: UUID | None


class ShownRemake(msgspec.Struct, frozen=True, kw_only=True):
    """A file that is being made again, or was.

    `found` is what was wrong with it: lost, or damaged. `outcome` is same where the same bytes were
    put back; stand-in where they could not be made, and the document `stand_in` takes its place;
    intact where the file was there again before; empty until then. `text` says the same in words.
    """

    id: UUID
    document: UUID
    state: str
    found: str
    outcome: str
    stand_in: UUID | None
    created: datetime
    finished: datetime | None
    failure: str
    text: str


class DocumentRequestList(msgspec.Struct, frozen=True, kw_only=True):
    """Documents, the newest first."""

    items: list[ShownDocumentRequest]


class AskBody(Body, frozen=True, kw_only=True):
    """Kind of document (certificate, registration, sheet, labels …) and that kind's parameters."""

    kind: Annotated[str, msgspec.Meta(min_length=1, max_length=20)]
    parameters: dict[str, Any] = {}


class DocumentsView(View):
    """Documents of a unit."""

    tag = "documents"

    @reads
    def get(self, unit: UUID) -> DocumentRequestList:
        """List a unit's documents."""
        seen_by(self.person, unit)
        reader = reader_of(self.person)
        requests = queue.requests_of(unit)
        return DocumentRequestList(items=[shown(request, reader) for request in requests])

    @accepts
    def post(self, unit: UUID, command: UUID, body: AskBody) -> ShownDocumentRequest:
        """Ask for a document of a unit.

        Certificates and registrations are made automatically, at each release and each handover; a
        request for one of them returns the same document.
        """
        asked = queue.ask(
            actor=self.person,
            kind=body.kind,
            command=command,
            unit=unit,
            parameters=body.parameters,
        )
        return shown(asked, reader_of(self.person))


class DocumentView(View):
    """One document."""

    tag = "documents"

    @reads
    def get(self, unit: UUID, document: UUID) -> ShownDocumentRequest:
        """See how far a document is."""
        return shown(_document(self.person, unit, document), reader_of(self.person))


class DocumentFileView(View):
    """A finished file."""

    tag = "documents"

    @reads_file
    def get(self, unit: UUID, document: UUID) -> FileResponse:
        """Download a finished document."""
        requested = _document(self.person, unit, document)
        return file_of(requested, self.person)


class DocumentProofView(View):
    """Proof that the log issued a document."""

    tag = "documents"

    @reads_file
    def get(self, unit: UUID, document: UUID) -> FileResponse:
        """Download the proof of issue of a finished document, to be kept beside it.

        A C2SP tlog-proof whose extra line is the entry that names the file's digest; `verifier.py`
        takes it as `--issue`.
        """
        return proof_of(_document(self.person, unit, document))


class CancelView(View):
    """Canceling a document."""

    tag = "documents"

    @asks
    def post(self, unit: UUID, document: UUID) -> ShownDocumentRequest:
        """Stop making a document."""
        requested = _document(self.person, unit, document)
        _may_stop(self.person, requested)
        queue.cancel(requested)
        return shown(requested, reader_of(self.person))


class RetryView(View):
    """Making a failed or canceled document again."""

    tag = "documents"

    @asks
    def post(self, unit: UUID, document: UUID) -> ShownDocumentRequest:
        """Make a document that failed or was cancelled."""
        requested = _document(self.person, unit, document)
        _may_stop(self.person, requested)
        queue.retry(requested)
        return shown(requested, reader_of(self.person))


class RemakeView(View):
    """Making a lost or damaged file again."""

    tag = "documents"

    @asks
    def post(self, unit: UUID, document: UUID) -> ShownRemake:
        """Have the lost or damaged file of a finished document made again."""
        requested = _document(self.person, unit, document)
        _may_stop(self.person, requested)
        return shown_remake(queue.remake(requested, self.person), reader_of(self.person))

    @reads
    def get(self, unit: UUID, document: UUID) -> ShownRemake:
        """See what became of making a document's file again."""
        requested = _document(self.person, unit, document)
        return shown_remake(queue.remake_of(requested), reader_of(self.person))


def file_of(request: DocumentRequest, person: Person) -> FileResponse:
    """The finished file as a download, for somebody who may open it."""
    file = queue.open_for(person, request, How.API)
    answer = FileResponse(
        file, as_attachment=True, filename=request.name, content_type=request.media_type
    )
    answer["ETag"] = f'"{request.digest}"'
    answer["Cache-Control"] = queue.kept_by_browsers(request)
    return answer


def proof_of(request: DocumentRequest) -> FileResponse:
    """A document's proof of issue as a download."""
    proof = BytesIO(queue.proof_of_issue(request).encode())
    return FileResponse(proof, as_attachment=True, filename=queue.proof_name(request))


def _document(person: Person, unit: UUID, document: UUID) -> DocumentRequest:
    seen_by(person, unit)
    request = queue.requests_of(unit).filter(pk=document).first()
    if request is None:
        raise Refusal("no-such-document")
    return request


def _may_stop(person: Person, request: DocumentRequest) -> None:
    assert request.unit_id is not None  # requests_of a unit have one
    if not may_stop(person, request, seen_by(person, request.unit_id)):
        raise Refusal("not-your-document", roles=tuple(sorted(OFFICE)))


def shown_remake(job: Remake, reader: Reader) -> ShownRemake:
    """A remake in the shape the API returns."""
    number = job.stand_in.number if job.stand_in else ""
    return ShownRemake(
        id=job.pk,
        document=job.document_id,
        state=job.state,
        found=job.found,
        outcome=job.outcome,
        stand_in=job.stand_in_id,
        created=job.created,
        finished=job.finished,
        failure=queue.failure_of(job, reader),
        text=remake_text(job.found, job.outcome, number, reader),
    )


def shown(request: DocumentRequest, reader: Reader) -> ShownDocumentRequest:
    """A document request in the shape the API returns."""
    return ShownDocumentRequest(
        unit=request.unit_id,
        replaces=request.replaces_id,
        failure=queue.failure_of(request, reader),
        **{name: getattr(request, name) for name in COLUMNS},
    )
