"""Action that issues a document: the service records the digest of a finished file."""

from uuid import UUID, uuid5

from django.db import transaction

from prep.actions.log import ITSELF, Place, append, context_of
from prep.actions.perform import perform
from prep.actions.request_digest import request_digest
from prep.actions.submission import Submission
from prep.models import Event
from prep.record.moments import Said
from prep.record.refusal import Refusal
from prep.record.unit.commands.documents import IssueDocument

ISSUE_NAMES = UUID("4c3f6f0e-92d5-4a52-9d55-6f6b1f0a8e21")


def issue(command: IssueDocument, unit: UUID | None) -> None:
    """Record a finished file in the log; permission was checked where it was requested.

    The event goes into the unit's stream, or into a stream of the document's own where it is of
    several units or of none. The command id follows from the document, so a repeat adds nothing.
    """
    submission = Submission(command_of(UUID(command.document)))
    if unit is None:
        _issue_of_no_unit(command, submission)
    else:
        perform(command, actor=ITSELF, target=unit, submission=submission)


@transaction.atomic
def _issue_of_no_unit(command: IssueDocument, submission: Submission) -> None:
    request = request_digest(command, command.document, None)
    issued = Event.objects.filter(command=submission.id).values_list("request", flat=True).first()
    if issued == request:
        return
    if issued:
        raise Refusal("issued-otherwise")
    place = Place("document", command.document, 0, "")
    context = context_of(submission, ITSELF, Said(), last=None, begun=None)
    append([(place, [command.event()])], context, submission, request=request, facts={})


def command_of(document: UUID) -> UUID:
    """Id of the command that issues a document."""
    return uuid5(ISSUE_NAMES, str(document))
