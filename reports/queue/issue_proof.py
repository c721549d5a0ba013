"""Proof of issue: that the log names a document's file, to be kept beside it.

A document cannot hold this itself. It is cut at a checkpoint, and the event that records its digest
comes after.
"""

from prep.actions.documents import command_of
from prep.models import Event
from prep.queries import log
from prep.record.log.envelope import leaf_data
from prep.record.refusal import Refusal
from reports.models import DocumentRequest, State


def proof_of_issue(request: DocumentRequest) -> str:
    """Proof that the log issued a finished document: tlog-proof text, the same at each call.

    Its extra line has the entry's canonical JSON, which names the digest of the file and, of a
    bundle, that of its tag manifest. Raises Refusal where the document is not made, or the log not
    yet signed as far.
    """
    if request.state != State.DONE:
        raise Refusal("not-made-yet", state=request.state)
    issued = Event.objects.filter(command=command_of(request.pk), kind="document.issued").first()
    position = log.position_of(issued.pk) if issued else None
    checkpoint = None if position is None else log.first_checkpoint_over(position)
    if issued is None or checkpoint is None:
        raise Refusal("not-proven-yet")
    return log.proof_text(issued.pk, checkpoint, leaf_data(issued.envelope()))


def proof_name(request: DocumentRequest) -> str:
    """File name of a proof of issue, which begins as its document's."""
    return f"{request.name.rpartition('.')[0]}.tlog-proof"
