"""Wiring of the documents and imports into the running application."""

from prep.actions.accounts.clearing import clear_past
from prep.actions.beside_the_log.picture_files import drop_forgotten
from prep.actions.log import CONSUMERS
from prep.actions.outages.checks import CHECKS as OUTAGES
from prep.verify.run import CHECKS
from reports import imports, invitation_mail, queue
from reports.checkpoint_mail import worker as checkpoint_mail


def wire() -> None:
    """Notify the queue of each commit, work on imports and mails, verify documents, clear up, and
    tell of workers that are away."""
    CONSUMERS.append(queue.log_grew)
    CHECKS.extend([queue.documents, queue.files])
    OUTAGES.extend([queue.broker, queue.workers])
    queue.WORK.extend([imports.WORK, checkpoint_mail.WORK])
    queue.FINDERS.extend(
        [checkpoint_mail.find, drop_forgotten, clear_past, invitation_mail.send_due]
    )
