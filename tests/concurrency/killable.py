"""The Celery application of workers that are to be killed: `celery -A tests.concurrency.killable`.

Everything is the service's own but what would make a test last for hours: the lease, the clock's
pace and how often a document may be begun. Only these workers import it.
"""

import os
import time
from datetime import timedelta
from uuid import uuid4

import django
from django.utils import timezone

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "prep.project.settings")
django.setup()

from prep.project.celery_app import app  # noqa: E402  # the settings are read above
from reports.models import DocumentRequest, State  # noqa: E402
from reports.queue import claims, worker  # noqa: E402
from reports.registry import KINDS  # noqa: E402
from tests.concurrency.notes import FORM, UNGUARDED, note  # noqa: E402
from tests.document_kinds import built_by  # noqa: E402

__all__ = ["app"]


def unguarded() -> DocumentRequest | None:
    """The claim without its row lock and its condition: look, wait a moment, take."""
    silent, waiting = worker.due()
    request = silent.first() or waiting.first()
    if request is None:
        return None
    time.sleep(0.1)
    request.state, request.worker = State.WORKING, uuid4()
    request.tries += 1
    DocumentRequest.objects.filter(pk=request.pk).update(
        state=State.WORKING,
        worker=request.worker,
        tries=request.tries,
        lease_until=timezone.now() + claims.LEASE,
    )
    return request


KINDS[FORM] = built_by(FORM, note)
claims.LEASE = timedelta(seconds=4)
claims.TRIES = 1000  # type: ignore[misc]  # five are enough for a yard, not for two hundred kills
app.conf.beat_schedule = {"sweep": {"task": "reports.queue.tasks.sweep", "schedule": 0.5}}
if UNGUARDED in os.environ:
    worker.WORK[0] = worker.WORK[0]._replace(claim=unguarded)
