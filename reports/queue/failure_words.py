"""Why the last try at a job failed, said to whoever reads it."""

import json

from prep.record.stored_refusals import restored
from prep.words.documents.failures import failure_text, try_text
from prep.words.reader import Reader
from prep.words.refusals import refusal_text
from reports.models import Job, State
from reports.queue.claims import TRIES


def failure_of(request: Job, reader: Reader) -> str:
    """Why the last try at a job failed and what happens next.

    Empty where none failed, and where nobody wants it any more.
    """
    if not request.failure or request.state == State.CANCELLED:
        return ""
    kept = json.loads(request.failure)
    if "refusal" in kept:  # not tried again, and says itself what to do
        return refusal_text(restored(kept["refusal"]), reader)
    why = failure_text(kept["code"], reader, **kept["values"])
    # While the next try is under way, it is the one before that failed.
    number = request.tries - (request.state == State.WORKING)
    last = request.state == State.FAILED
    return try_text(why, number, TRIES, reader, last=last)
