"""What the documents add to the running application."""

from prep.actions.write_path import CONSUMERS
from prep.verify.run import CHECKS
from reports import queue


def wire() -> None:
    """Have the queue told of every commit, and documents and files verified with the rest."""
    CONSUMERS.append(queue.log_grew)
    CHECKS.extend([queue.documents, queue.files])
