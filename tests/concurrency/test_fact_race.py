"""What a decision read does not change until it is decided, on PostgreSQL.

In each test two processes wait for each other just before they append. With the locks one waits in
vain; the negative control without them shows what would happen.
"""

from collections.abc import Callable
from contextlib import suppress
from threading import BrokenBarrierError
from typing import Any
from unittest.mock import patch
from uuid import UUID

import msgspec
import pytest
from django.db import connection

from prep.actions.locks import lock_sets, share
from prep.actions.log import append
from prep.actions.perform import perform
from prep.models import Event, Instrument, Unit
from prep.queries.records import record_of
from prep.record.command import Command
from prep.record.instrument.commands import RecordInstrument
from prep.record.procedure.commands import PublishProcedure
from prep.record.refusal import Refusal
from prep.record.unit.commands.entries import TakeReading
from prep.record.unit.commands.joining import JoinUnit
from prep.record.unit.commands.receiving import ReceiveUnit
from prep.record.unit.commands.sheets import StartSheet
from prep.record.unit.commands.steps import AcknowledgeCautions
from tests.cast import DOCUMENTS, PIN, WRENCH, Yard, make_yard
from tests.concurrency.processes import FORK, in_processes

pytestmark = [pytest.mark.postgres, pytest.mark.django_db(transaction=True)]

Work = Callable[[], str]


@pytest.fixture
def committed_yard(transactional_db: None) -> Yard:
    """The cast, committed, so that other processes see it."""
    return make_yard()


def work(command: Command, **given: Any) -> Work:
    """A command given by a process of its own; `done`, or the code of its refusal."""

    def give() -> str:
        try:
            perform(command, **given)
        except Refusal as no:
            return no.code
        return "done"

    return give


def at_once(*works: Work, unlocked: bool = False) -> tuple[list[Any], bool]:
    """Results of works in processes that wait for each other just before they append.

    Also whether they met there, which the locks prevent. Unlocked they take neither the locks of
    named sets nor those of rows they read.
    """
    barrier, met = FORK.Barrier(len(works)), FORK.Value("i", 0)

    def meeting(inner: Work) -> Work:
        def wait_then_append(*args: Any, **more: Any) -> None:
            with suppress(BrokenBarrierError):
                barrier.wait(20 if unlocked else 0.7)
                met.value = 1
            append(*args, **more)

        def read(table: Any, key: Any) -> Any:
            return table.objects.filter(pk=key).first() if unlocked else share(table, key)

        def lock(*sets: Any) -> None:
            if not unlocked:
                lock_sets(*sets)

        def give() -> str:
            with (
                patch("prep.actions.perform.append", wait_then_append),
                patch("prep.actions.facts.loaders.share", read),
                patch("prep.actions.perform.lock_sets", lock),
                patch("prep.actions.wordings.lock_sets", lock),
            ):
                return inner()

        return give

    return in_processes(*(meeting(one) for one in works)), bool(met.value)


def receive(yard: Yard, serial: str, model: str = "") -> Work:
    """Ada receives a unit."""
    command = ReceiveUnit(site=yard.site, maker="Larkfield", serial=serial, model=model)
    return work(command, actor=yard.ada)


def test_of_two_look_alikes_received_at_once_the_second_is_compared(committed_yard: Yard) -> None:
    """O and 0: whoever comes second hears of the first."""
    done, met = at_once(receive(committed_yard, "TC0O1"), receive(committed_yard, "TC001"))
    assert (sorted(done), met) == (["done", "look-alike"], False)
    assert Unit.objects.count() == 1


def test_without_the_sets_lock_two_look_alikes_pass_each_other(committed_yard: Yard) -> None:
    """Negative control: neither saw the other."""
    works = receive(committed_yard, "TC0O1"), receive(committed_yard, "TC001")
    assert at_once(*works, unlocked=True) == (["done", "done"], True)


def firsts() -> list[bool]:
    """Of each unit, whether it is the first of its shipment."""
    return sorted(record_of(unit.pk).first_of_shipment for unit in Unit.objects.all())


def test_of_two_received_at_once_one_alone_is_first_of_the_shipment(committed_yard: Yard) -> None:
    """The second, which waited, sees the first."""
    works = (receive(committed_yard, serial, "TC-12") for serial in ("RC8-801", "RC5-927"))
    assert at_once(*works) == (["done", "done"], False)
    assert firsts() == [False, True]


def test_without_the_sets_lock_both_would_be_first(committed_yard: Yard) -> None:
    """Negative control: neither saw the other."""
    works = (receive(committed_yard, serial, "TC-12") for serial in ("RC8-801", "RC5-927"))
    assert at_once(*works, unlocked=True) == (["done", "done"], True)
    assert firsts() == [True, True]


def test_of_one_plate_spelled_twice_at_once_one_is_received(committed_yard: Yard) -> None:
    """Two tablets at one truck: the second hears which unit has the plate."""
    works = receive(committed_yard, "TC-001"), receive(committed_yard, "tc 001")
    done, met = at_once(*works)
    assert (sorted(done), met) == (["already-received", "done"], False)
    assert Unit.objects.count() == 1


def test_without_the_sets_lock_the_database_still_takes_one(committed_yard: Yard) -> None:
    """They meet, and the second is refused in the same words once it has looked again."""
    works = receive(committed_yard, "TC-001"), receive(committed_yard, "tc 001")
    done, met = at_once(*works, unlocked=True)
    assert (sorted(done), met) == (["already-received", "done"], True)
    assert Unit.objects.count() == 1


def test_without_lock_and_constraint_one_plate_is_received_twice(committed_yard: Yard) -> None:
    """Negative control of both."""
    once = next(c for c in Unit._meta.constraints if c.name == "unit_serial_once")
    with connection.schema_editor() as editor:
        editor.remove_constraint(Unit, once)
    try:
        works = receive(committed_yard, "TC-001"), receive(committed_yard, "tc 001")
        assert at_once(*works, unlocked=True) == (["done", "done"], True)
        assert Unit.objects.count() == 2
    finally:
        Unit.objects.all().delete()
        with connection.schema_editor() as editor:
            editor.add_constraint(Unit, once)


def join_each_other(yard: Yard) -> tuple[Work, Work]:
    """Mira joins two records of one machine, on two tablets, each the other way round."""
    first, second = yard.receive("TC100"), yard.receive("TC700")

    def join(into: UUID, joined: UUID) -> Work:
        command = JoinUnit(joined=joined, reason="Received twice", pin=PIN)
        return work(command, actor=yard.mira, target=into)

    return join(first, second), join(second, first)


@pytest.mark.parametrize("unlocked", [False, True])
def test_of_two_joined_into_each_other_at_once_one_goes_on(
    committed_yard: Yard, unlocked: bool
) -> None:
    """The rows' locks alone, taken in the order of their ids, keep them apart as well."""
    done, met = at_once(*join_each_other(committed_yard), unlocked=unlocked)
    assert (sorted(done), met) == (["done", "joined-away"], False)
    assert Unit.objects.filter(joined_into="").count() == 1
    assert Event.objects.filter(kind="unit.joined_into").count() == 1


def start_and_publish(yard: Yard) -> tuple[Work, Work]:
    """Ada starts a sheet while Otto brings the next revision of its procedure into force."""
    unit = yard.receive()
    text = (DOCUMENTS / "procedure.yaml").read_text().replace("revision: 1", "revision: 2", 1)
    return (
        work(StartSheet(), actor=yard.ada, target=unit),
        work(PublishProcedure(document=text), actor=yard.otto),
    )


def newest_before_the_sheet() -> tuple[int, int]:
    """The revision the sheet was started on, and the newest one in the log before it."""
    started = Event.objects.get(kind="sheet.started")
    published = Event.objects.filter(kind="procedure.published", id__lt=started.pk)
    newest = max(
        msgspec.json.decode(body)["revision"] for body in published.values_list("body", flat=True)
    )
    return int(msgspec.json.decode(started.body)["revision"]), newest


def test_a_sheet_starts_on_the_newest_procedure_in_the_log_before_it(committed_yard: Yard) -> None:
    """The publisher waits for the sheet, or the sheet for the publisher."""
    assert at_once(*start_and_publish(committed_yard)) == (["done", "done"], False)
    started, newest = newest_before_the_sheet()
    assert started == newest
    facts = msgspec.json.decode(Event.objects.get(kind="sheet.started").facts)
    assert facts["procedures"] == started


def test_without_the_sets_lock_publisher_and_sheet_are_inside_together(
    committed_yard: Yard,
) -> None:
    """Negative control: neither waited for the other."""
    works = start_and_publish(committed_yard)
    assert at_once(*works, unlocked=True) == (["done", "done"], True)


def read_and_retire(yard: Yard) -> tuple[Work, Work]:
    """Ada reads with a wrench while Otto takes it out of service."""
    unit = yard.started()
    yard.block_deck(unit)
    yard.acknowledge(unit, "blades")
    reading = TakeReading(
        step="blades", line="torque", position="left", text="450 ft lb", instrument="W-1"
    )
    dropped = msgspec.structs.replace(WRENCH, out_of_service="Dropped")
    retiring = RecordInstrument(site=yard.site, instrument=dropped, reason="dropped")
    return work(reading, actor=yard.ada, target=unit), work(retiring, actor=yard.otto)


def test_no_reading_counts_after_its_tool_was_taken_out_of_service(committed_yard: Yard) -> None:
    """Either the reading is in the log before, or it is refused; its event names the version."""
    (taken, retired), met = at_once(*read_and_retire(committed_yard))
    assert not met
    assert retired == "done"
    assert taken in {"done", "instrument-out-of-service"}
    assert Instrument.objects.get(pk="W-1").out_of_service == "Dropped"
    if taken == "done":
        reading = Event.objects.get(kind="reading.taken")
        out = Event.objects.filter(stream="instrument", stream_id="W-1").order_by("-version")[0]
        assert reading.pk < out.pk
        assert msgspec.json.decode(reading.facts) == {"instrument W-1": 1}


def test_without_the_shared_row_reading_and_retirement_are_inside_together(
    committed_yard: Yard,
) -> None:
    """Negative control: the reading was judged by a tool that was being taken away."""
    works = read_and_retire(committed_yard)
    assert at_once(*works, unlocked=True) == (["done", "done"], True)


def two_acknowledge(yard: Yard) -> tuple[Work, Work]:
    """The first two acknowledgments of all, on two units."""
    command = AcknowledgeCautions(step="block")
    units = yard.started(), yard.started()
    first, second = (work(command, actor=yard.ada, target=unit) for unit in units)
    return first, second


def test_two_who_first_acknowledge_the_same_words_keep_them_once(committed_yard: Yard) -> None:
    """The later one finds what the earlier one kept; neither is refused."""
    assert at_once(*two_acknowledge(committed_yard)) == (["done", "done"], False)
    assert Event.objects.filter(kind="wording.kept").count() == 1
    assert Event.objects.filter(kind="caution.acknowledged").count() == 2


def test_without_the_sets_lock_one_of_two_acknowledgments_is_lost(committed_yard: Yard) -> None:
    """Negative control: both would keep the same words, and the log takes one."""
    done, met = at_once(*two_acknowledge(committed_yard), unlocked=True)
    assert (sorted(done), met) == (["changed-meanwhile", "done"], True)
