"""Notes: documents whose making takes long enough to be killed in.

Who begins one says so in a file, so that a test can count beginnings and aim.
"""

import os
import random
import time
from pathlib import Path

from django.conf import settings
from reportlab.platypus import Paragraph

from reports.document_kind import BuiltFile, Progress, temporary_file
from reports.models import DocumentRequest
from reports.pdf.page import About, Running, document
from reports.pdf.typeface import TEXT

FORM = "note"
UNGUARDED = "YARDPROOF_TEST_UNGUARDED_CLAIMS"
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
