"""Wiring of the documents into the running application."""

from prep.actions.log import CONSUMERS
from prep.verify.run import CHECKS
from reports import queue


def wire() -> None:
    """Notify the queue of each commit, and verify documents and files with the rest."""
    CONSUMERS.append(queue.log_grew)
    CHECKS.extend([queue.documents, queue.files])
