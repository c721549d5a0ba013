"""Celery tasks: they only say that there is work; the rows say which.

Lost, doubled or late, a message changes nothing but the moment.
"""

from typing import Final

from celery import shared_task

from reports.queue import worker

CHAINS: Final = 8  # messages a sweep sends at most; each goes on for as long as something is due


@shared_task
def run_one() -> None:
    """Make one document that is due, and pass the word on where there is another."""
    if worker.run_one() and worker.count_due(1):
        run_one.delay()


@shared_task
def sweep() -> None:
    """Catch up with the log, and send word for what is due. Beat asks for it all the time."""
    try:
        worker.catch_up()
    finally:  # a log that cannot be sealed is no reason to make no labels
        for _ in range(worker.count_due(CHAINS)):
            run_one.delay()
