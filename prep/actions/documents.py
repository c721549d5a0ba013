"""Action that issues a document: the service records the digest of a finished file."""

from uuid import UUID, uuid5

from django.db import transaction

from prep.actions.write_path import ITSELF, Command, append, change_unit, context_of, request_digest
from prep.models import Event
from prep.record.refusal import Refusal
from prep.record.unit.commands import documents
from prep.record.unit.events import DocumentIssued

ISSUE_NAMES = UUID("4c3f6f0e-92d5-4a52-9d55-6f6b1f0a8e21")


def issue(
    *,
    unit: UUID | None,
    document: UUID,
    kind: str,
    number: str,
    digest: str,
    size: int,
    cause: str,
    replaces: UUID | None = None,
) -> None:
    """Record a finished file in the log; permission was checked where it was requested.

    The event goes into the unit's stream, or into a stream of the document's own where it is of
    several units or of none. The command id follows from the document, so a repeat adds nothing.
    """
    replaced = str(replaces) if replaces else ""
    command = Command(command_of(document))
    request = ["document.issue", document, kind, number, digest, size, cause, replaced]
    if unit is None:
        event = DocumentIssued(str(document), kind, number, digest, size, cause, replaced)
        _issue_of_no_unit(event, command, request_digest(request))
        return
    change_unit(
        actor=ITSELF,
        unit=unit,
        command=command,
        request=request,
        decide=lambda record, context: documents.issue(
            record,
            context,
            document=str(document),
            kind=kind,
            number=number,
            digest=digest,
            size=size,
            cause=cause,
            replaces=replaced,
        ),
    )


@transaction.atomic
def _issue_of_no_unit(event: DocumentIssued, command: Command, request: str) -> None:
    issued = Event.objects.filter(command=command.id).values_list("request", flat=True).first()
    if issued == request:
        return
    if issued:
        raise Refusal(
            "already-issued",
            f"This {event.document_kind} was already issued, and differs from it. "
            "Ask for a new one.",
        )
    context = context_of(command, ITSELF, None)
    append("document", event.document, 0, [event], context, command, "", request)


def command_of(document: UUID) -> UUID:
    """Id of the command that issues a document."""
    return uuid5(ISSUE_NAMES, str(document))
