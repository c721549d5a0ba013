"""A buyer erased at the moment a document with their name is finished, on PostgreSQL.

SQLite ignores row locks, so there such a test would prove nothing.
"""

from collections.abc import Callable, Iterable
from contextlib import suppress
from pathlib import Path
from threading import BrokenBarrierError
from typing import Any
from unittest.mock import patch
from uuid import UUID

import pytest

from prep.actions import log
from prep.actions.perform import perform
from prep.models import Buyer
from prep.record.refusal import Refusal
from prep.verify.run import verify
from reports import holdings, queue
from reports.document_kind import Held
from reports.models import DocumentRequest, Holding, State
from tests.cast import ERASING, Yard, make_yard
from tests.concurrency.processes import FORK, in_processes
from tests.reports.sold_units import quick_certificates, sold
from tests.stored_files import own_folders

pytestmark = [pytest.mark.postgres, pytest.mark.django_db(transaction=True)]
LONGEST = 3  # seconds that the erasure waits for whoever reads past its lock


@pytest.fixture
def yard(
    transactional_db: None, settings: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> Yard:
    """The cast, committed, so that other processes see it; certificates are short."""
    own_folders(settings, tmp_path)
    quick_certificates(monkeypatch)
    return make_yard()


@pytest.fixture
def unit(yard: Yard) -> UUID:
    """A unit handed over, whose registration is the next thing to be made."""
    made = sold(yard)
    while DocumentRequest.objects.filter(kind="certificate").exclude(state=State.DONE).exists():
        assert queue.run_one()
    return made


def meeting(yard: Yard) -> list[Callable[[], str]]:
    """The one finishes the registration, the other erases its buyer; they meet in the lock.

    The erasure has its locks when the document is about to note what it holds. It commits only
    when the document got past, which it cannot, or after a while.
    """
    together, past = FORK.Barrier(2), FORK.Barrier(2)
    keep, append = holdings.keep, log.append

    def make() -> str:
        def kept(document: DocumentRequest, holds: Iterable[Held]) -> None:
            together.wait(10)
            keep(document, holds)
            with suppress(BrokenBarrierError):
                past.wait(LONGEST)

        with patch.object(holdings, "keep", kept):
            queue.run_one()
        return str(DocumentRequest.objects.get(kind="registration").state)

    def erase() -> str:
        def appended(*args: Any, **more: Any) -> None:
            append(*args, **more)
            together.wait(10)
            with suppress(BrokenBarrierError):
                past.wait(LONGEST)

        with patch("prep.actions.perform.append", appended):
            perform(ERASING, actor=yard.otto, target=Buyer.objects.get().pk)
        return "erased"

    return [make, erase]


def test_a_document_finished_while_its_buyer_is_erased_is_refused(yard: Yard, unit: UUID) -> None:
    """It waits for the erasure, and sees it: no file is left, and nothing is amiss."""
    assert in_processes(*meeting(yard)) == ["failed", "erased"]
    assert not Holding.objects.exists()
    queue.catch_up()
    assert verify().findings == []


def test_without_the_lock_it_would_be_finished(yard: Yard, unit: UUID) -> None:
    """Negative control. The log's reader, which comes to the erasure, deletes it all the same."""

    def read(table: Any, key: Any) -> Any:
        return table.objects.filter(pk=key).first()

    with patch.object(holdings, "share", read):
        assert in_processes(*meeting(yard)) == ["done", "erased"]
    registration = DocumentRequest.objects.get(kind="registration")
    with pytest.raises(Refusal) as no:
        queue.remake(registration, yard.mira)
    assert no.value.code == "document-erased"
    queue.catch_up()
    registration.refresh_from_db()
    assert registration.erased is not None
    assert verify().findings == []
