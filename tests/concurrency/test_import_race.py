"""Two workers on one import, and one file sent twice at once: each row is carried out once."""

from pathlib import Path
from typing import Any
from uuid import UUID, uuid4

import pytest

from prep.models import Buyer, Event
from reports import imports, queue
from reports.imports import worker
from reports.models import Import
from tests.cast import Yard, make_yard
from tests.concurrency.processes import in_processes

pytestmark = [pytest.mark.postgres, pytest.mark.django_db(transaction=True)]

COUNT = 60
LIST = "Buyer\n" + "".join(f"Buyer {number} (invented)\n" for number in range(COUNT))


@pytest.fixture
def committed_yard(settings: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Yard:
    """The cast, committed, so that other processes see it; nobody is sent word of work."""
    settings.KEYS, settings.MEDIA_ROOT = tmp_path, tmp_path / "files"
    settings.SERVICE = False
    return make_yard()


def accepted(yard: Yard, command: UUID) -> Import:
    """A list of buyers; two with one name and no address would be two buyers to the command."""
    return imports.accept(
        actor=yard.sol,
        kind="buyers",
        content=LIST.encode(),
        name="buyers.csv",
        command=command,
        site=yard.site,
    )


def run_twice_at_once(yard: Yard) -> None:
    """Both workers believe that the claim on the import is theirs."""
    job = accepted(yard, uuid4())
    queue.run_due()
    job.refresh_from_db()
    imports.start(job, skip_problems=False)
    claimed = queue.claim(worker.due(), lambda job: None)
    assert claimed is not None
    in_processes(lambda: worker.carry_out(claimed), lambda: worker.carry_out(claimed))


def test_two_workers_on_one_import_add_each_buyer_once(committed_yard: Yard) -> None:
    """A row's command has one id, whoever gives it and how often."""
    run_twice_at_once(committed_yard)
    assert Buyer.objects.count() == COUNT
    assert Event.objects.filter(kind="buyer.added").count() == COUNT


def test_without_an_id_that_follows_from_the_row_buyers_are_doubled(
    committed_yard: Yard, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Negative control: the same two workers with a new id for each command."""
    monkeypatch.setattr(worker, "row_command", lambda job, line: uuid4())
    run_twice_at_once(committed_yard)
    assert Buyer.objects.count() > COUNT


def test_a_file_sent_twice_at_once_is_one_import(committed_yard: Yard) -> None:
    """Both get the same one."""
    command = uuid4()
    sent = in_processes(*[lambda: accepted(committed_yard, command).pk] * 4)
    assert sent == [command] * 4
    assert Import.objects.count() == 1
