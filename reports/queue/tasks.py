"""Celery tasks that wake a worker; which job to do is read from the rows.

Lost, doubled or late, a message changes nothing but the moment.
"""

from typing import Final

from celery import shared_task

from reports.queue import heartbeat, worker

CHAINS: Final = 8  # messages a sweep sends at most; each goes on for as long as something is due


@shared_task
def run_one() -> None:
    """Do one due job, and send another task where more are due."""
    if worker.run_one() and worker.count_due(1):
        run_one.delay()


@shared_task
def sweep() -> None:
    """Catch up with the log, and send tasks for what is due; Celery beat runs it periodically."""
    try:
        heartbeat.beat()
        worker.catch_up()
        worker.find()
    finally:  # a log that cannot be sealed is no reason to make no labels
        for _ in range(worker.count_due(CHAINS)):
            run_one.delay()
