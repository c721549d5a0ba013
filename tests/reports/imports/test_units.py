"""Units from a file: checked first, then received one by one, each once."""

from uuid import uuid4

import pytest

from prep.models import Event, Unit
from prep.queries.records import record_of
from prep.record.refusal import Refusal
from reports import imports
from reports.models import Import, ImportProblem, Stage, State
from tests.cast import Yard
from tests.refusals import everything, refused
from tests.reports.imports.sent import problems, send, units, work, workbook


def test_a_list_of_units_is_checked_and_nothing_is_done(yard: Yard) -> None:
    """The check says what would be made; log and index are as they were."""
    before = everything()
    job = send(yard, units("00017", "00018"))
    assert (job.stage, job.state, job.fit, job.made) == (Stage.CHECK, State.DONE, 2, 0)
    assert problems(job) == []
    assert everything() == before


def test_what_was_checked_is_run_and_each_row_is_one_unit(yard: Yard) -> None:
    """With the serial exactly as in the file, under the name of whoever sent it."""
    job = send(yard, units("00017", "00018"))
    imports.start(job, skip_problems=False)
    work(job)
    assert (job.stage, job.state, job.made) == (Stage.RUN, State.DONE, 2)
    received = Unit.objects.order_by("serial")
    assert [(one.serial, one.maker, one.site_id) for one in received] == [
        ("00017", "Larkfield", "north"),
        ("00018", "Larkfield", "north"),
    ]
    assert {row.actor_name for row in Event.objects.filter(kind="unit.received")} == {
        "Otto Invented"
    }
    record = record_of(received[0].pk)
    assert record.model is not None
    assert record.model.code == "TC-12"


def test_run_at_once_makes_what_a_check_found_fit(yard: Yard) -> None:
    """Asked for in one go, it is checked all the same."""
    job = send(yard, units("00017"), run=True)
    assert (job.stage, job.state, job.made) == (Stage.RUN, State.DONE, 1)


def test_one_bad_row_stops_all_of_it(yard: Yard) -> None:
    """Unless its rows are skipped: then the others are received, and it is named."""
    content = units("00017") + b"Larkfield,00018,TC-99\r\n"
    job = send(yard, content, run=True)
    assert (job.stage, job.state, job.fit) == (Stage.CHECK, State.DONE, 1)
    assert problems(job) == [(3, 3, "no-such-model")]
    assert not Unit.objects.exists()
    no = refused("import-has-problems", imports.start, job, skip_problems=False)
    assert no.details == {"count": 1}
    imports.start(job, skip_problems=True)
    work(job)
    assert (job.state, job.made) == (State.DONE, 1)
    assert problems(job) == [(3, 3, "no-such-model")]
    assert [one.serial for one in Unit.objects.all()] == ["00017"]


def test_sent_twice_it_is_one_import_and_makes_nothing_twice(yard: Yard) -> None:
    """The file again under its id, and the run again."""
    command = uuid4()
    job = send(yard, units("00017"), command=command, run=True)
    again = send(yard, units("00017"), command=command, run=True)
    imports.start(again, skip_problems=False)
    work(again)
    assert again.pk == job.pk
    assert Import.objects.count() == Unit.objects.count() == 1


def test_an_id_used_for_another_file_is_refused(yard: Yard) -> None:
    """So is one that another person used."""
    command = uuid4()
    send(yard, units("00017"), command=command)
    refused("command-reused", send, yard, units("00018"), command=command)
    refused("command-reused", send, yard, units("00017"), command=command, actor=yard.mira)


def test_a_unit_already_here_and_one_listed_twice_are_named(yard: Yard) -> None:
    """By line and column; the first of the two is fit."""
    yard.receive("TC00001")
    job = send(yard, units("TC00001", "TC00027", "TC00027"))
    assert problems(job) == [(2, 2, "already-received"), (4, 0, "row-repeated")]
    assert job.fit == 1


def test_serials_easily_misread_are_compared_with_the_yard_and_with_the_file(yard: Yard) -> None:
    """A zero and an O, until the file says that the plates were compared."""
    yard.receive("TC00001")
    job = send(yard, units("TCO0001", "TC00B27", "TC00827"))
    assert problems(job) == [(2, 0, "look-alike"), (4, 0, "row-look-alike")]
    compared = (
        b"Manufacturer;Serial number;Serial numbers compared\n"
        b"Larkfield;TCO0001;TC00001\nLarkfield;TC00B27;\nLarkfield;TC00827;TC00B27\n"
    )
    job = send(yard, compared, run=True)
    assert (problems(job), job.made) == ([], 3)


def test_a_row_that_cannot_be_made_does_not_stand_in_the_way_of_the_next(yard: Yard) -> None:
    """The first has a model there is not; the second of the same serial is fit."""
    content = b"Manufacturer,Serial,Model\nLarkfield,TC7,TC-99\nLarkfield,TC7,TC-12\n"
    job = send(yard, content, run=True, skip_problems=True)
    assert problems(job) == [(2, 3, "no-such-model")]
    assert job.made == 1


def test_what_changes_between_check_and_run_is_named_and_the_rest_is_done(yard: Yard) -> None:
    """Ada receives one of the units while the list waits."""
    job = send(yard, units("00017", "00018"))
    yard.receive("00017")
    imports.start(job, skip_problems=False)
    work(job)
    assert (job.state, job.made) == (State.DONE, 1)
    assert problems(job) == [(2, 2, "already-received")]


def test_who_may_not_receive_units_sends_no_file(yard: Yard) -> None:
    """Sales and auditors; nor somebody who does not work at the yard."""
    for actor in (yard.sol, yard.rhea):
        refused("not-allowed", send, yard, units("00017"), actor=actor)
    refused("no-such-site", send, yard, units("00017"), actor=yard.outsider)
    assert not Import.objects.exists()


def test_whoever_lost_the_role_meanwhile_receives_nothing(yard: Yard) -> None:
    """The command is given in their name when it is run, by the roles they have then."""
    job = send(yard, units("00017"))
    yard.otto.is_active = False
    yard.otto.save()
    imports.start(job, skip_problems=False)
    work(job)
    assert job.made == 0
    assert not Unit.objects.exists()
    assert len(problems(job)) == 1


def test_nobody_sees_the_import_of_another(yard: Yard) -> None:
    """Neither the row nor its problems."""
    job = send(yard, units("00017"))
    with pytest.raises(Refusal) as caught:
        imports.import_of(yard.mira, job.pk)
    assert caught.value.code == "no-such-import"


def test_the_file_is_gone_once_it_is_run(yard: Yard) -> None:
    """It may hold personal data, and nothing needs it any more."""
    job = send(yard, units("00017"))
    assert job.content is not None
    imports.start(job, skip_problems=False)
    work(job)
    assert job.content is None


def test_options_and_a_note_with_line_ends_come_from_a_workbook(yard: Yard) -> None:
    """Several options are separated by commas or semicolons."""
    rows = [
        ["Serial number", "Manufacturer", "Model", "Options", "Note", "Location"],
        ["TC5", "Larkfield", "TC-12", "wide tires; thousand rpm", "Bent guard\nleft", "Row C"],
        ["TC6", "Larkfield", "TC-12", "narrow tires", "", "12"],
    ]
    job = send(yard, workbook(rows), name="list.xlsx", run=True, skip_problems=True)
    assert problems(job) == [(3, 4, "unknown-option")]
    record = record_of(Unit.objects.get().pk)
    assert record.options == ("wide tires", "thousand rpm")
    assert (record.note, record.place) == ("Bent guard\nleft", "Row C")


def test_problems_are_written_once_though_the_check_is_done_again(yard: Yard) -> None:
    """A worker that starts again goes on behind what was stored."""
    job = send(yard, units("TC1", "TC1"))
    Import.objects.filter(pk=job.pk).update(state=State.WAITING)
    work(job)
    assert ImportProblem.objects.count() == 1
