"""Several workers look for the mails of a day at the same moment, on PostgreSQL.

Each process sends to a folder, so that what any of them sent can be counted.
"""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from prep.actions.perform import perform
from prep.models import CheckpointKeeper
from prep.record.site.commands import AddKeeper
from reports import queue
from reports.checkpoint_mail.worker import send
from reports.models import CheckpointMail, State
from tests.cast import Yard, make_yard
from tests.concurrency.processes import in_processes

pytestmark = [pytest.mark.postgres, pytest.mark.django_db(transaction=True)]
WORKERS = 4
ADDRESSES = 5


@pytest.fixture
def mails(transactional_db: None, settings: Any, tmp_path: Path) -> Path:
    """Addresses at a yard, and the folder that mails go to."""
    settings.KEYS, settings.MEDIA_ROOT = tmp_path / "keys", tmp_path / "files"
    settings.EMAIL_BACKEND = "django.core.mail.backends.filebased.EmailBackend"
    settings.EMAIL_FILE_PATH = tmp_path / "mail"
    yard: Yard = make_yard()
    for number in range(ADDRESSES):
        keeper = AddKeeper(email=f"records{number}@kept.example")
        perform(keeper, actor=yard.otto, target=yard.site)
    queue.catch_up()
    return tmp_path / "mail"


def sent(folder: Path) -> int:
    """How many mails lie there."""
    texts = (path.read_text() for path in folder.glob("*")) if folder.exists() else ()
    return sum(text.count("Subject: ") for text in texts)


def looking(work: Callable[[], object]) -> Callable[[], int]:
    """Work of a process that looks once."""

    def look() -> int:
        queue.find()
        work()
        return 1

    return look


def test_each_address_gets_one_mail_a_day(mails: Path) -> None:
    """However many workers look at once, and look again."""
    for _ in range(2):
        assert in_processes(*[looking(queue.run_due)] * WORKERS) == [1] * WORKERS
    assert CheckpointMail.objects.filter(state=State.DONE).count() == ADDRESSES
    assert sent(mails) == ADDRESSES == CheckpointKeeper.objects.count()


def test_without_a_claim_they_would_get_several(
    mails: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The control: the same without claims, which shows that the processes do meet."""
    monkeypatch.setattr("reports.queue.renew", lambda job: None)
    monkeypatch.setattr("reports.checkpoint_mail.worker._done", lambda job, size: None)

    def unclaimed() -> None:
        for job in CheckpointMail.objects.all():
            send(job)

    in_processes(*[looking(unclaimed)] * WORKERS)
    assert sent(mails) > ADDRESSES
