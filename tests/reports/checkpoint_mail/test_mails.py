"""The daily mail of the checkpoint: asked for, sent once, tried again, and read back."""

from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any
from uuid import UUID

import pytest
from django.core import mail
from django.core.management import call_command
from django.utils import timezone

from prep.actions import sealing
from prep.actions.perform import perform
from prep.actions.submission import Submission
from prep.models import Checkpoint, CheckpointKeeper, Event
from prep.record.refusal import Refusal
from prep.record.site.commands import AddKeeper, RemoveKeeper
from prep.verify.run import verify
from reports import queue
from reports.models import CheckpointMail, State
from tests.actions.kept import texts
from tests.cast import Yard
from tests.stored_files import own_folders

ADDRESS = "records@kept.example"


@pytest.fixture(autouse=True)
def _set_up(settings: Any, tmp_path: Path) -> None:
    """Keys and files lie in a folder of the test."""
    own_folders(settings, tmp_path)


def keeper(yard: Yard, **more: Any) -> CheckpointKeeper:
    """Otto has the checkpoint sent to an address."""
    perform(AddKeeper(**{"email": ADDRESS, **more}), actor=yard.otto, target=yard.site)
    return CheckpointKeeper.objects.latest("pk")


def a_look() -> None:
    """One look of a worker: seal, find what is due, do it."""
    queue.catch_up()
    queue.find()
    queue.run_due()


def test_once_a_day_the_newest_checkpoint_goes_out_and_can_be_read_back(
    yard: Yard, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """However often a worker looks; the next day another; and each mail holds the log later."""
    keeper(yard)
    for _ in range(3):
        a_look()
    [sent] = mail.outbox
    newest = Checkpoint.objects.latest("size")
    assert sent.to == [ADDRESS]
    assert (
        sent.subject == f"Invented Implements: checkpoint of the service log, {newest.size} entries"
    )
    assert "Please keep this mail." in sent.body
    assert "verify --older" in sent.body
    assert newest.note in sent.body
    tomorrow = timezone.now() + timedelta(days=1)
    monkeypatch.setattr("reports.checkpoint_mail.worker.timezone.now", lambda: tomorrow)
    yard.started()
    a_look()
    assert len(mail.outbox) == 2
    files = []
    for number, one in enumerate(mail.outbox):
        files.append(tmp_path / f"{number}.eml")
        files[-1].write_bytes(one.message().as_bytes())
    call_command("verify", older=files)
    job = CheckpointMail.objects.latest("day")
    assert (job.state, job.size) == (State.DONE, Checkpoint.objects.latest("size").size)


def test_a_mail_server_that_is_away_is_tried_again(
    yard: Yard, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The row keeps why; the next try sends it, once."""
    keeper(yard)

    def away(*args: Any, **options: Any) -> int:
        raise ConnectionRefusedError("nobody there (invented)")

    with monkeypatch.context() as patch:
        patch.setattr("django.core.mail.EmailMessage.send", away)
        a_look()
    job = CheckpointMail.objects.get()
    assert (job.state, job.tries) == (State.WAITING, 1)
    assert "nobody there" in job.failure
    a_look()
    assert mail.outbox == []  # not yet due
    CheckpointMail.objects.update(due=timezone.now())
    a_look()
    a_look()
    assert len(mail.outbox) == 1
    assert CheckpointMail.objects.get().state == State.DONE


def test_a_worker_that_dies_after_it_sent_sends_the_same_mail_again(yard: Yard) -> None:
    """Its claim runs out; the Message-ID says that it is the same."""
    keeper(yard)
    a_look()
    before = timezone.now() - timedelta(hours=1)
    CheckpointMail.objects.update(
        state=State.WORKING, worker=UUID(int=1), lease_until=before, finished=None
    )
    a_look()
    first, second = (one.message()["Message-ID"] for one in mail.outbox)
    assert first == second
    assert CheckpointMail.objects.get().state == State.DONE


def test_a_day_is_a_day_of_the_yard(yard: Yard, monkeypatch: pytest.MonkeyPatch) -> None:
    """Five in the morning UTC is still the evening before in Chicago."""
    keeper(yard)
    for hour, count in ((5, 1), (7, 2)):
        at = datetime(2026, 12, 3, hour, 30, tzinfo=UTC)
        monkeypatch.setattr("reports.checkpoint_mail.worker.timezone.now", lambda at=at: at)
        queue.find()
        assert CheckpointMail.objects.count() == count
    days = CheckpointMail.objects.order_by("day").values_list("day", flat=True)
    assert [day.isoformat() for day in days] == ["2026-12-02", "2026-12-03"]


def test_only_an_administrator_says_who_gets_it(yard: Yard) -> None:
    """A refused one changes nothing; a stranger learns of no yard."""
    before = Event.objects.count()
    for person, code in ((yard.mira, "not-allowed"), (yard.outsider, "no-such-site")):
        with pytest.raises(Refusal) as no:
            perform(AddKeeper(email=ADDRESS), actor=person, target=yard.site)
        assert no.value.code == code
    assert not CheckpointKeeper.objects.exists()
    known = keeper(yard)
    with pytest.raises(Refusal):
        perform(RemoveKeeper(keeper=known.pk), actor=yard.rhea, target=yard.site)
    assert CheckpointKeeper.objects.count() == 1
    assert Event.objects.count() == before + 1


@pytest.mark.parametrize("email", ["", "nobody", "a b@c.example", "a@b", "a@b.example\n"])
def test_what_is_no_address_is_refused(yard: Yard, email: str) -> None:
    """Nothing is kept of it."""
    with pytest.raises(Refusal):
        perform(AddKeeper(email=email), actor=yard.otto, target=yard.site)
    assert not CheckpointKeeper.objects.exists()


def test_an_address_is_added_once_and_sent_again_it_is_the_same(yard: Yard) -> None:
    """Twice the same command, then the same address by another."""
    submission = Submission()
    for _ in range(2):
        perform(AddKeeper(email=ADDRESS), actor=yard.otto, target=yard.site, submission=submission)
    with pytest.raises(Refusal) as no:
        perform(AddKeeper(email=ADDRESS.upper()), actor=yard.otto, target=yard.site)
    assert no.value.code == "keeper-known"
    assert CheckpointKeeper.objects.count() == 1


def test_a_removed_address_gets_nothing_and_is_kept_nowhere(yard: Yard) -> None:
    """Also where its mail of the day was waiting already."""
    known = keeper(yard)
    queue.find()
    perform(RemoveKeeper(keeper=known.pk), actor=yard.otto, target=yard.site)
    a_look()
    assert mail.outbox == []
    assert CheckpointMail.objects.get().state == State.DONE
    assert not CheckpointKeeper.objects.exists()
    held = "".join(Event.objects.values_list("body", flat=True))
    assert ADDRESS not in held
    with pytest.raises(Refusal) as no:
        perform(RemoveKeeper(keeper=known.pk), actor=yard.otto, target=yard.site)
    assert no.value.code == "no-such-keeper"


def test_an_address_changed_past_the_service_is_named(yard: Yard) -> None:
    """Whoever wants no witness sends the checkpoints elsewhere."""
    known = keeper(yard)
    sealing.seal()
    assert texts(verify()) == []
    CheckpointKeeper.objects.update(email="nobody@other.example")
    assert texts(verify()) == [
        f"Altered: address that keeps checkpoints {known.pk} of yard north; columns: digest."
    ]
    CheckpointKeeper.objects.all().delete()
    assert texts(verify()) == [f"Missing: address that keeps checkpoints {known.pk} of yard north."]


@pytest.mark.parametrize("language", ["en", "es", "fr"])
def test_a_mail_in_each_language_is_read_back(yard: Yard, language: str) -> None:
    """The text may be translated; the checkpoint is not."""
    keeper(yard, language=language)
    a_look()
    assert Checkpoint.objects.latest("size").note in mail.outbox[0].body
