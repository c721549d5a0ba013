"""How the daily mails of a yard are doing: addresses, the last that went out, the last failure."""

from dataclasses import dataclass
from datetime import datetime

from prep.models import CheckpointKeeper
from prep.words.reader import Reader
from reports import queue
from reports.models import CheckpointMail, State


@dataclass(frozen=True)
class KeeperStatus:
    """An address, when it last got a checkpoint and of which size, and why the last try failed.

    `failed` is empty where nothing failed since.
    """

    keeper: CheckpointKeeper
    sent: datetime | None
    size: int
    failed: str
    failed_day: str


def statuses(site: str, reader: Reader) -> list[KeeperStatus]:
    """The addresses of a yard, in order, and how the mails to each are doing."""
    keepers = CheckpointKeeper.objects.filter(site=site).order_by("email")
    return [_status(keeper, reader) for keeper in keepers]


def _status(keeper: CheckpointKeeper, reader: Reader) -> KeeperStatus:
    mails = CheckpointMail.objects.filter(keeper=keeper.pk).order_by("-day")
    sent = mails.filter(state=State.DONE).first()
    failed = mails.exclude(failure="").first()
    if failed and sent and sent.day >= failed.day:
        failed = None
    return KeeperStatus(
        keeper,
        sent.finished if sent else None,
        sent.size if sent else 0,
        queue.failure_of(failed, reader) if failed else "",
        failed.day.isoformat() if failed else "",
    )
