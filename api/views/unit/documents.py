"""Documents of a unit: asking for one, following it, getting it."""

from datetime import datetime
from typing import Annotated, Any, Final
from uuid import UUID

import msgspec
from django.http import FileResponse

from api.inputs import CommandBody
from api.operations import View, asks, commands, reads, reads_file
from prep.actions.write_path import Command
from prep.models import Person
from prep.queries.units import seen_by
from prep.record.refusal import Refusal
from reports import queue
from reports.models import DocumentRequest
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
    "failure",
    "name",
    "number",
    "media_type",
    "digest",
    "bytes",
)


class ShownDocumentRequest(msgspec.Struct, frozen=True, kw_only=True):
    """A document and where it stands: waiting, working, done, failed or cancelled.

    While it is being made, `steps_done` of `steps_total` tell how far it has got; when it failed,
    `failure` tells why. `digest` is the SHA-256 of the finished file.
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
    replaces: UUID | None


class DocumentRequestList(msgspec.Struct, frozen=True, kw_only=True):
    """Documents, the newest first."""

    items: list[ShownDocumentRequest]


class AskBody(CommandBody, frozen=True, kw_only=True):
    """Which kind: certificate, registration, sheet, labels …; `parameters` as the kind has them."""

    kind: Annotated[str, msgspec.Meta(min_length=1, max_length=20)]
    parameters: dict[str, Any] = {}


class DocumentsView(View):
    """Documents of a unit."""

    tag = "documents"

    @reads
    def get(self, unit: UUID) -> DocumentRequestList:
        """List a unit's documents."""
        seen_by(self.person, unit)
        return DocumentRequestList(items=[shown(found) for found in queue.requests_of(unit)])

    @commands()
    def post(self, unit: UUID, command: Command, body: AskBody) -> ShownDocumentRequest:
        """Ask for a document of a unit.

        Certificates and registrations are made by themselves, once a release and once a handover;
        asked for again, they are the same document.
        """
        asked = queue.ask(
            actor=self.person,
            kind=body.kind,
            command=command.id,
            unit=unit,
            parameters=body.parameters,
        )
        return shown(asked)


class DocumentView(View):
    """One document."""

    tag = "documents"

    @reads
    def get(self, unit: UUID, document: UUID) -> ShownDocumentRequest:
        """See how far a document is."""
        return shown(_found(self.person, unit, document))


class DocumentFileView(View):
    """A finished file."""

    tag = "documents"

    @reads_file
    def get(self, unit: UUID, document: UUID) -> FileResponse:
        """Download a finished document."""
        found = _found(self.person, unit, document)
        return file_of(found)


class CancelView(View):
    """A document that is not wanted any more."""

    tag = "documents"

    @asks
    def post(self, unit: UUID, document: UUID) -> ShownDocumentRequest:
        """Stop making a document."""
        found = _found(self.person, unit, document)
        _may_stop(self.person, found)
        queue.cancel(found)
        return shown(found)


class RetryView(View):
    """A document wanted after all."""

    tag = "documents"

    @asks
    def post(self, unit: UUID, document: UUID) -> ShownDocumentRequest:
        """Make a document that failed or was cancelled."""
        found = _found(self.person, unit, document)
        _may_stop(self.person, found)
        queue.retry(found)
        return shown(found)


def file_of(found: DocumentRequest) -> FileResponse:
    """The finished file as a download."""
    file = queue.open_file(found)
    answer = FileResponse(
        file, as_attachment=True, filename=found.name, content_type=found.media_type
    )
    answer["ETag"] = f'"{found.digest}"'
    return answer


def _found(person: Person, unit: UUID, document: UUID) -> DocumentRequest:
    seen_by(person, unit)
    found = queue.requests_of(unit).filter(pk=document).first()
    if found is None:
        raise Refusal("no-such-document", "There is no such document of this unit.")
    return found


def _may_stop(person: Person, found: DocumentRequest) -> None:
    assert found.unit_id is not None  # requests_of a unit have one
    if not may_stop(person, found, seen_by(person, found.unit_id)):
        raise Refusal("not-allowed", "Only the office or whoever asked for a document may do this.")


def shown(found: DocumentRequest) -> ShownDocumentRequest:
    """A request as the API tells of it."""
    values = {name: getattr(found, name) for name in COLUMNS}
    return ShownDocumentRequest(unit=found.unit_id, replaces=found.replaces_id, **values)
