"""The Celery application of workers that are to be killed: `celery -A tests.concurrency.killable`.

Everything is the service's own but what would make a test last for hours: the lease, the clock's
pace and how often a document may be begun. Notes are documents whose making takes long enough to
be killed in; who begins one says so in a file, so that a test can count beginnings and aim.
"""

import os
import random
import time
from datetime import timedelta
from pathlib import Path
from uuid import uuid4

import django
from django.conf import settings
from django.utils import timezone
from reportlab.platypus import Paragraph

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "prep.project.settings")
django.setup()

from prep.project.celery_app import app  # noqa: E402  # the settings are read above
from reports import work  # noqa: E402
from reports.builders import BUILDERS, BuiltFile, Progress, temporary_file  # noqa: E402
from reports.models import DocumentRequest, State  # noqa: E402
from reports.pdf.page import About, Running, document  # noqa: E402
from reports.pdf.typeface import TEXT  # noqa: E402

__all__ = ["app"]

FORM = "note"
UNGUARDED = "YARDPROOF_TEST_UNGUARDED_CLAIMS"
LEASE = timedelta(seconds=4)
PARTS = 8


def begun(data: Path) -> Path:
    """The file with one line for every document that was begun: its id, and by which process."""
    return data / "begun"


def note(request: DocumentRequest, progress: Progress) -> BuiltFile:
    """A real page, written in parts with pauses in which anything may happen."""
    with begun(settings.DATA).open("a") as journal:
        journal.write(f"{request.pk} {os.getpid()}\n")
    story = [Paragraph(f"Note {request.cause}", TEXT)]
    about = About("Note", "Invented", "Yardproof")
    content = document(story, "A4", Running(("", ""), ("", "")), about)
    path = temporary_file(request, ".pdf")
    size = 1 + len(content) // PARTS
    with path.open("wb") as opened:
        for part in range(PARTS):
            opened.write(content[part * size : (part + 1) * size])
            opened.flush()
            time.sleep(random.uniform(0.0, 0.08))
            progress(part + 1, PARTS)
    return BuiltFile(path, "note.pdf", f"N-{request.cause}", "application/pdf")


def unguarded() -> DocumentRequest | None:
    """The claim without its row lock and its condition: look, wait a moment, take."""
    silent, waiting = work.due()
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
        lease_until=timezone.now() + work.LEASE,
    )
    return request


BUILDERS[FORM] = note
work.LEASE = LEASE
work.TRIES = 1000  # type: ignore[misc]  # five are enough for a yard, not for two hundred kills
app.conf.beat_schedule = {"sweep": {"task": "reports.tasks.sweep", "schedule": 0.5}}
if UNGUARDED in os.environ:
    work._claim = unguarded
