"""Models, tractors, tools and buyers from a file."""

from typing import Any

from django.db.models import Model

from prep.actions.perform import perform
from prep.models import Buyer, Event, Instrument, MachineModel
from prep.queries.models import model_facts, tractor_facts
from prep.record.manufacturer.commands import AddManufacturer
from tests.cast import Yard
from tests.reports.imports.sent import problems, send, workbook

MODELS = "Code,Revision,Manufacturer,Name,Note,Manual,Options"


def facts_of(table: type[Model], code: str) -> dict[str, object]:
    """The present facts of a row."""
    return dict(table._default_manager.values_list("facts", flat=True).get(pk=code))


def test_a_row_publishes_a_model_with_its_data(yard: Yard) -> None:
    """Quantities as text, counts, yes or no and lists as a document has them."""
    content = (
        f"{MODELS},pto_type,pto_speed,wing,hose_bores,empty\n"
        "LF-9,1,Larkfield,Larkfield 9,Price list,Manual 9,scale;roll tarp,2,540 rpm,yes,"
        "3/8 in; 1/2 in,\n"
    )
    job = send(yard, content.encode(), kind="models", run=True)
    assert (problems(job), job.made) == ([], 1)
    facts = model_facts("LF-9")
    assert (facts.revision, facts.maker, facts.manual) == (1, "Larkfield", "Manual 9")
    assert facts.options == ("scale", "roll tarp")
    assert facts.data == {
        "pto_type": 2,
        "pto_speed": "540 rpm",
        "wing": True,
        "hose_bores": ["3/8 in", "1/2 in"],
    }


def test_texts_that_yaml_takes_for_something_else_stay_texts(yard: Yard) -> None:
    """A colon, a hash, a decimal, a date, a sign of another plane."""
    odd = "no: # 'x' \U0001f69c"
    row = f'LF-9,1,Larkfield,"{odd}",null,0.830,2026-03-02,0x1F'
    content = f"code,revision,maker,name,note,a,b,c\n{row}\n"
    job = send(yard, content.encode(), kind="models", run=True)
    assert problems(job) == []
    facts = model_facts("LF-9")
    assert (facts.maker, facts.name) == ("Larkfield", odd)
    assert facts.data == {"a": "0.830", "b": "2026-03-02", "c": "0x1F"}


def test_a_revision_that_would_drop_what_is_on_record_is_refused(yard: Yard) -> None:
    """Until each value has its column; an empty cell then says that it goes."""
    content = "code,revision,maker,name,note,pto_type,mass\nTC-12,2,Larkfield,TC,n,1,1200 kg\n"
    job = send(yard, content.encode(), kind="models", run=True)
    assert problems(job) == [(2, 0, "row-drops")]
    assert model_facts("TC-12").revision == 1
    names = job.problems.get().refusal["details"]["names"]
    assert names == [
        "blade_bolt_torque",
        "manual",
        "options",
        "pto_speed",
        "pto_splines",
        "registration_days",
    ]
    header = ",".join(["code,revision,maker,name,note,pto_type,mass", *names])
    content = f"{header}\nTC-12,2,Larkfield,TC,n,1,1200 kg,450 ft·lbf,,,540 rpm,6,\n"
    job = send(yard, content.encode(), kind="models", run=True)
    assert problems(job) == []
    facts = model_facts("TC-12")
    assert facts.data == {
        "pto_type": 1,
        "mass": "1200 kg",
        "blade_bolt_torque": "450 ft·lbf",
        "pto_splines": 6,
        "pto_speed": "540 rpm",
    }
    assert (facts.manual, facts.options) == ("", ())


def test_an_older_revision_and_a_tractors_code_are_refused(yard: Yard) -> None:
    """By the model's own decision, in its column where there is one."""
    present = facts_of(MachineModel, "TC-12")["data"]
    assert isinstance(present, dict)
    header = ",".join(["code,revision,maker,name,note,manual,options", *present])
    rest = ",".join("" for _ in present)
    content = f"{header}\nTC-12,1,Larkfield,b,c,,,{rest}\nT-90,1,Larkfield,b,c,,,{rest}\n"
    job = send(yard, content.encode(), kind="models")
    assert problems(job) == [
        (2, 0, "document-unfit"),  # no data at all
        (2, 0, "document-unfit"),  # and so nothing for the procedure in force
        (2, 2, "document-unfit"),  # a revision that is not newer
        (3, 1, "row-other-sort"),
    ]


def test_a_tractor_is_published_as_one(yard: Yard) -> None:
    """From a workbook, with a count that is a number there."""
    rows: list[list[Any]] = [
        ["Code", "Revision", "Manufacturer", "Name", "Note", "pto_type", "drawbar_distances"],
        ["QM-1", 1, "Quillmoor", "Quillmoor 1", "n", 1, "14 in; 16 in"],
        ["QM-2", 1, "Quillmoor", "Quillmoor 2", "n", 1.5, "14 in"],
    ]
    perform(AddManufacturer(name="Quillmoor"), actor=yard.otto)
    job = send(yard, workbook(rows), kind="tractors", name="a.xlsx", run=True, skip_problems=True)
    assert problems(job) == [(3, 6, "cell-number-without-unit")]
    assert tractor_facts("QM-1").data == {"pto_type": 1, "drawbar_distances": ["14 in", "16 in"]}
    assert not MachineModel.objects.filter(pk="QM-2").exists()


TOOLS = "Code,Kind of tool,Name,Quantity measured,Reason"


def test_a_tool_is_recorded_with_its_range_and_calibration(yard: Yard) -> None:
    """A tool of text, in the units of its label; its serial keeps its zeros."""
    content = (
        f"{TOOLS},Serial number,Range from,Range to,Calibrated on,Calibration due\n"
        "W-7,torque wrench,Wrench 7,torque,first list,007107,16 ft·lbf,80 ft·lbf,"
        "2026-09-14,2027-09-30\n"
    )
    job = send(yard, content.encode(), kind="instruments", run=True)
    assert (problems(job), job.made) == ([], 1)
    row = Instrument.objects.get(pk="W-7")
    assert (row.site_id, row.due, row.facts["serial"]) == ("north", "2027-09-30", "007107")
    assert row.facts["low"] == "16 ft·lbf"


def test_what_a_tool_cannot_be_is_refused_in_its_column(yard: Yard) -> None:
    """By the command's own reader: quantity, unit, percent, day, length."""
    content = (
        f"{TOOLS},Range from,% of reading,Calibration due\n"
        "W-7,torque wrench,Wrench 7,strength,r,,,\n"
        "W-8,torque wrench,Wrench 8,torque,r,16 furlongs,,\n"
        "W-9,torque wrench,Wrench 9,torque,r,,4 %,\n"
        f"{'W' * 41},torque wrench,Wrench 10,torque,r,,,\n"
        "W-11,torque wrench,Wrench 11,torque,r,,,9/30/2027\n"
    ).replace("% of reading", "percent_of_reading")
    job = send(yard, content.encode(), kind="instruments")
    assert problems(job) == [
        (2, 4, "unknown-quantity"),
        (3, 6, "unreadable"),
        (4, 7, "input-unfit"),
        (5, 1, "input-unfit"),
        (6, 8, "day-unclear"),
    ]


def test_a_tool_on_record_loses_nothing_by_a_file_with_fewer_columns(yard: Yard) -> None:
    """Its calibration stays until a file has the column."""
    content = f"{TOOLS}\nW-1,torque wrench,Wrench 1,torque,new name\n"
    job = send(yard, content.encode(), kind="instruments", run=True)
    assert problems(job) == [(2, 0, "row-drops")]
    assert facts_of(Instrument, "W-1")["due"] == "2027-01-10"


def test_a_tool_listed_twice_is_refused_the_second_time(yard: Yard) -> None:
    """The command would take the second for a change of the first."""
    row = "W-7,torque wrench,Wrench 7,torque,r\n"
    job = send(yard, f"{TOOLS}\n{row}{row}".encode(), kind="instruments")
    assert problems(job) == [(3, 0, "row-repeated")]


def test_buyers_are_added_without_their_data_in_the_log(yard: Yard) -> None:
    """Nor is any of it left with the import."""
    content = (
        "Buyer,Address,Phone,E-mail\r\n"
        'Fen Farm (invented),"12 Fen Road\r\nFenton",+1 605 555 0100,fen@example.com\r\n'
        "Wes Fen (invented),,=1+1,\r\n"
        "Ida Fen (invented),,,ida@example\r\n"
    )
    job = send(yard, content.encode(), kind="buyers", actor=yard.sol, run=True, skip_problems=True)
    assert problems(job) == [(3, 3, "cell-like-formula"), (4, 4, "input-unfit")]
    buyer = Buyer.objects.get(name="Fen Farm (invented)")
    assert (buyer.address, buyer.phone) == ("12 Fen Road\nFenton", "+1 605 555 0100")
    assert job.content is None
    assert not Event.objects.filter(body__contains="Fen").exists()
    assert "Fen" not in str([problem.refusal for problem in job.problems.all()])


def test_a_buyer_listed_twice_and_the_example_are_named(yard: Yard) -> None:
    """The same name at another address is another buyer."""
    content = (
        b"Buyer,Address\nFen Farm,1 Road\nFen Farm,2 Road\nfen farm,1 road\n"
        b'Pat Example,"12 Example Road, Anytown"\n'
    )
    job = send(yard, content, kind="buyers", actor=yard.sol)
    assert problems(job) == [(4, 0, "row-repeated"), (5, 0, "row-is-example")]
    assert job.fit == 2
