"""Queue of documents: request, list, cancel, retry, open and remake them, and run the workers.

Work of other kinds adds itself to `WORK`, and is claimed and tried in the same way.

Everybody else imports this package and nothing inside it; an import contract sees to that.
"""

from reports.queue.access import kept_by_browsers, may_open, open_for, roles_for, sites_covered
from reports.queue.checks import documents, files
from reports.queue.claims import ClaimLost, Work, again, attempt, claim, mine, renew
from reports.queue.erasure import erase_again
from reports.queue.failure_words import failure_of
from reports.queue.heartbeat import broker, waits_long, worker_away_since, workers
from reports.queue.issue_proof import proof_name, proof_of_issue
from reports.queue.remaking import (
    document_numbered,
    remake,
    remake_of,
    remake_until_done,
    remakes_of,
)
from reports.queue.requests import may_ask, may_stop
from reports.queue.runner import start, stop, work_until_stopped
from reports.queue.submit import (
    ask,
    cancel,
    log_grew,
    notify,
    open_file,
    request,
    requests_by,
    requests_of,
    retry,
    units_with_failed_documents,
)
from reports.queue.worker import FINDERS, UNFINISHED, WORK, catch_up, find, run_due, run_one

__all__ = [
    "FINDERS",
    "UNFINISHED",
    "WORK",
    "ClaimLost",
    "Work",
    "again",
    "ask",
    "attempt",
    "broker",
    "cancel",
    "catch_up",
    "claim",
    "document_numbered",
    "documents",
    "erase_again",
    "failure_of",
    "files",
    "find",
    "kept_by_browsers",
    "log_grew",
    "may_ask",
    "may_open",
    "may_stop",
    "mine",
    "notify",
    "open_file",
    "open_for",
    "proof_name",
    "proof_of_issue",
    "remake",
    "remake_of",
    "remake_until_done",
    "remakes_of",
    "renew",
    "request",
    "requests_by",
    "requests_of",
    "retry",
    "roles_for",
    "run_due",
    "run_one",
    "sites_covered",
    "start",
    "stop",
    "units_with_failed_documents",
    "waits_long",
    "work_until_stopped",
    "worker_away_since",
    "workers",
]
