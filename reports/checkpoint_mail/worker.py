"""The daily mails: a row a day and address before anything is sent, then claimed like any job.

Two workers that look at once make one row, and one of them claims it. A mail server that is away
is tried again, as a document is; a worker that dies right after it sent leaves a claim that runs
out, and the mail goes out again with the same Message-ID.
"""

from collections.abc import Iterable
from datetime import datetime
from typing import Final
from zoneinfo import ZoneInfo

from django.db import transaction
from django.db.models import QuerySet
from django.utils import timezone

from prep.models import CheckpointKeeper
from prep.queries import log
from reports import queue
from reports.checkpoint_mail.mail import mail_of
from reports.document_kind import NotYetError
from reports.models import CheckpointMail, State


def find() -> None:
    """Make the rows of today that are not there yet; a day is a day of the yard."""
    now = timezone.now()
    for keeper in CheckpointKeeper.objects.select_related("site"):
        today = now.astimezone(ZoneInfo(keeper.site.time_zone)).date()
        of_today = {"day": today, "keeper": keeper.pk}
        if not CheckpointMail.objects.filter(**of_today).exists():
            CheckpointMail.objects.get_or_create(**of_today, defaults={"site": keeper.site})


def due() -> Iterable[QuerySet[CheckpointMail]]:
    """Mails that a worker may claim now: those not heard of for a lease, then those that wait."""
    now = timezone.now()
    mails = CheckpointMail.objects.order_by("due")
    return (
        mails.filter(state=State.WORKING, lease_until__lt=now),
        mails.filter(state=State.WAITING, due__lte=now),
    )


def send(job: CheckpointMail) -> None:
    """Send the newest checkpoint; to an address that was removed meanwhile, nothing."""
    keeper = CheckpointKeeper.objects.select_related("site").filter(pk=job.keeper).first()
    newest = log.latest_checkpoint()
    if keeper and newest is None:
        raise NotYetError
    queue.renew(job)  # just before, so that no other worker has it while this one sends
    if keeper and newest:
        mail_of(job, keeper, newest).send()
    _done(job, newest.size if keeper and newest else 0)


def _done(job: CheckpointMail, size: int) -> None:
    now: datetime = timezone.now()
    with transaction.atomic():
        finished = queue.mine(job).update(
            state=State.DONE, worker=None, lease_until=None, failure="", finished=now, size=size
        )
        if not finished:
            raise queue.ClaimLost


def _claim() -> CheckpointMail | None:
    return queue.claim(due(), _leave)


def _leave(job: CheckpointMail) -> None:
    """Nothing lies about that tries have left behind."""


WORK: Final = queue.Work(due, _claim, send, _leave)
