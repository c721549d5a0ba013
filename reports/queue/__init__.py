"""Queue of documents: request, list, cancel, retry and open them, and run the workers.

Everybody else imports this package and nothing inside it; an import contract sees to that.
"""

from reports.queue.checks import documents, files
from reports.queue.failure_words import failure_of
from reports.queue.requests import may_ask, may_stop
from reports.queue.runner import start, stop, work_until_stopped
from reports.queue.submit import (
    ask,
    cancel,
    log_grew,
    open_file,
    request,
    requests_by,
    requests_of,
    retry,
    units_with_failed_documents,
)
from reports.queue.worker import catch_up, run_due

__all__ = [
    "ask",
    "cancel",
    "catch_up",
    "documents",
    "failure_of",
    "files",
    "log_grew",
    "may_ask",
    "may_stop",
    "open_file",
    "request",
    "requests_by",
    "requests_of",
    "retry",
    "run_due",
    "start",
    "stop",
    "units_with_failed_documents",
    "work_until_stopped",
]
