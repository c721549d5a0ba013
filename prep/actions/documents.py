"""Actions on issued documents: the service records the digest of a finished file, a remade
and an erased one.

The events go into the unit's stream, or into a stream of the document's own where it is of several
units or of none. The ids of the commands follow from what they record, so a repeat adds nothing.
Permission was checked where the document was requested.
"""

from uuid import UUID, uuid5

from django.db import transaction

from prep.actions.log import ITSELF, Place, append, context_of
from prep.actions.perform import perform
from prep.actions.request_digest import request_digest
from prep.actions.submission import Submission
from prep.models import Event, Person
from prep.record.moments import Said
from prep.record.refusal import Refusal
from prep.record.roles import Actor
from prep.record.unit.commands.documents import IssueDocument, RecordErased, RecordRemade

ISSUE_NAMES = UUID("4c3f6f0e-92d5-4a52-9d55-6f6b1f0a8e21")
ERASE_NAMES = UUID("b7a1f7f2-3f5c-4a0e-8d0b-51c9e0d9c1a4")
OnDocument = IssueDocument | RecordRemade | RecordErased


def issue(command: IssueDocument, unit: UUID | None) -> None:
    """Record a finished file in the log."""
    _record(command, unit, command_of(UUID(command.document)), ITSELF)


def record_remade(
    command: RecordRemade, unit: UUID | None, *, job: UUID, person: Person | None
) -> None:
    """Record that a file was made again: by whom, or at the console where that is None."""
    actor = Actor(str(person.pk), str(person), frozenset()) if person else ITSELF
    _record(command, unit, job, actor)


def record_erased(command: RecordErased, unit: UUID | None) -> None:
    """Record that the file of a document was erased."""
    _record(command, unit, uuid5(ERASE_NAMES, command.document), ITSELF)


def _record(command: OnDocument, unit: UUID | None, command_id: UUID, actor: Actor) -> None:
    submission = Submission(command_id)
    if unit is None:
        _record_of_no_unit(command, submission, actor)
    else:
        perform(command, actor=actor, target=unit, submission=submission)


@transaction.atomic
def _record_of_no_unit(command: OnDocument, submission: Submission, actor: Actor) -> None:
    request = request_digest(command, command.document, None)
    issued = Event.objects.filter(command=submission.id).values_list("request", flat=True).first()
    if issued == request:
        return
    if issued:
        raise Refusal("issued-otherwise")
    stream = Event.objects.filter(stream="document", stream_id=command.document)
    newest = stream.order_by("-version").values_list("version", "recorded").first()
    version, last = newest or (0, None)
    place = Place("document", command.document, version, "")
    context = context_of(submission, actor, Said(), last=last, begun=None)
    append([(place, [command.event()])], context, submission, request=request, facts={})


def command_of(document: UUID) -> UUID:
    """Id of the command that issues a document."""
    return uuid5(ISSUE_NAMES, str(document))
