"""Wiring of the documents and imports into the running application."""

from prep.actions.log import CONSUMERS
from prep.verify.run import CHECKS
from reports import imports, queue


def wire() -> None:
    """Notify the queue of each commit, work on imports, and verify documents with the rest."""
    CONSUMERS.append(queue.log_grew)
    CHECKS.extend([queue.documents, queue.files])
    queue.WORK.append(imports.WORK)
