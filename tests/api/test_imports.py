"""Imports over the API: sent, followed, run, and by whom."""

import csv
from io import StringIO
from uuid import uuid4

import pytest
from django.test import Client
from django.test.client import MULTIPART_CONTENT, encode_multipart

from prep.models import Person, Unit
from reports import queue
from reports.imports.kinds import IMPORTS
from reports.models import Import
from tests.api.client import Answer, Api
from tests.cast import Yard
from tests.reports.imports.sent import units, workbook

XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


def send(
    api: Api,
    content: bytes,
    query: str = "kind=units",
    *,
    actor: Person | None = None,
    key: str = "",
    content_type: str = "text/csv",
) -> Answer:
    """Send a file as the whole body."""
    headers = {"Idempotency-Key": key or str(uuid4())}
    return api.send(
        "POST",
        f"imports?{query}",
        actor or api.yard.otto,
        headers=headers,
        content=content,
        content_type=content_type,
    )


def test_a_dry_run_says_what_would_be_made_and_makes_nothing(yard: Yard, api: Api) -> None:
    """It is the default, because a list is quickly sent by mistake."""
    sent = send(api, units("00017") + b"Larkfield,00018,TC-99\r\n")
    assert (sent.status, sent.body["state"], sent.body["rows"]) == (201, "waiting", 2)
    queue.run_due()
    seen = api.get(f"imports/{sent.body['id']}", yard.otto).body
    assert (seen["stage"], seen["state"], seen["fit"], seen["problems"]) == ("check", "done", 1, 1)
    assert seen["state_text"] == "Checked; nothing was done yet"
    assert seen["notices"] == ["Read as UTF-8 with the separator ,."]
    assert not Unit.objects.exists()
    listed = api.get(f"imports/{sent.body['id']}/problems", yard.otto).body
    assert listed == {
        "items": [
            {
                "line": 3,
                "column": "C",
                "header": "Model",
                "code": "no-such-model",
                "text": "There is no model “TC-99”. Check the code, or publish the model first.",
            }
        ],
        "next": None,
    }


def test_a_checked_import_is_run_by_whoever_sent_it(yard: Yard, api: Api) -> None:
    """With problems only where they are skipped; sent twice it is run once."""
    sent = send(api, units("00017") + b"Larkfield,00018,TC-99\r\n")
    queue.run_due()
    address = f"imports/{sent.body['id']}"
    refused = api.post(f"{address}/run", actor=yard.otto)
    assert (refused.status, refused.code) == (409, "import-has-problems")
    assert api.post(f"{address}/run", actor=yard.mira).status == 404
    assert not Unit.objects.exists()
    for _ in range(2):
        ran = api.post(f"{address}/run?skip_problems=true", actor=yard.otto)
        assert (ran.status, ran.body["stage"], ran.body["state"]) == (200, "run", "waiting")
    queue.run_due()
    assert api.get(address, yard.otto).body["made"] == Unit.objects.count() == 1


def test_a_workbook_is_sent_and_run_at_once(yard: Yard, api: Api) -> None:
    """As the whole body, or as the part of a form, under its name."""
    content = workbook([["Manufacturer", "Serial number"], ["Larkfield", "00017"]])
    send(api, content, "kind=units&dry_run=false&name=a.xlsx", content_type=XLSX)
    send(api, content, "kind=units", content_type="application/octet-stream")
    queue.run_due()
    assert Unit.objects.get().serial == "00017"
    assert sorted(Import.objects.values_list("made", flat=True)) == [0, 1]


def test_a_form_brings_the_files_name(yard: Yard, api: Api) -> None:
    """With its ending, which has to be right."""
    part = StringIO("Manufacturer,Serial number\r\nLarkfield,1\r\n")
    part.name = "units of march.csv"
    body = encode_multipart("BoUnDaRyStRiNg", {"file": part})
    sent = send(api, body, "kind=units&site=north", content_type=MULTIPART_CONTENT)
    assert (sent.status, sent.body["name"]) == (201, "units of march.csv")
    empty = send(api, encode_multipart("BoUnDaRyStRiNg", {}), content_type=MULTIPART_CONTENT)
    assert (empty.status, empty.code) == (422, "table-missing")


def test_the_same_file_under_the_same_key_is_one_import(yard: Yard, api: Api) -> None:
    """Another file under it is refused."""
    key = str(uuid4())
    first = send(api, units("1"), key=key)
    again = send(api, units("1"), key=key)
    assert (again.status, again.body["id"]) == (201, first.body["id"])
    assert send(api, units("2"), key=key).code == "command-reused"
    assert Import.objects.count() == 1


@pytest.mark.parametrize(
    ("content", "query", "status", "code"),
    [
        (b"Serial,Make\n1,2\n", "kind=wheels", 404, "no-such-import-kind"),
        (b"Serial,Make,Wheels\n1,2,3\n", "kind=units", 422, "header-unknown"),
        (b"Serial,Make\n1,2\n", "kind=units&site=south", 404, "no-such-site"),
        (b"Serial,Make\n1,2\n", "kind=models&site=north", 422, "import-site-unwanted"),
        (b"Serial,Make\n1,2\n", "kind=units&color=red", 422, "input-unfit"),
        (b"Serial,Make\n1,2\n", "kind=units&name=a.xlsx", 422, "table-not-a-workbook"),
        (b"x" * (8 * 1024**2 + 1), "kind=units", 413, "too-large"),
    ],
)
def test_what_cannot_be_imported_is_refused_at_once(
    yard: Yard, api: Api, content: bytes, query: str, status: int, code: str
) -> None:
    """And nothing is kept of it."""
    answer = send(api, content, query)
    assert (answer.status, answer.code) == (status, code)
    assert not Import.objects.exists()


def test_who_may_not_receive_units_may_not_import_them(yard: Yard, api: Api) -> None:
    """Nor anybody who is not signed in."""
    for actor in (yard.sol, yard.rhea):
        assert (answer := send(api, units("1"), actor=actor)).status == 403, answer.body
    assert send(api, units("1"), actor=yard.outsider).code == "not-allowed"
    anonymous = Client().post("/api/v1/imports?kind=units", b"", content_type="text/csv")
    assert anonymous.status_code == 401
    assert not Import.objects.exists()


def test_an_import_is_stopped_and_resumed(yard: Yard, api: Api) -> None:
    """Before a worker has it, here."""
    address = f"imports/{send(api, units('1'), 'kind=units&dry_run=false').body['id']}"
    assert api.post(f"{address}/stop", actor=yard.otto).body["state"] == "cancelled"
    queue.run_due()
    assert not Unit.objects.exists()
    assert api.post(f"{address}/stop", actor=yard.otto).code == "already-finished"
    assert api.post(f"{address}/resume", actor=yard.otto).body["state"] == "waiting"
    queue.run_due()
    assert Unit.objects.count() == 1


def test_problems_come_page_by_page_and_as_a_file(yard: Yard, api: Api) -> None:
    """Every one once."""
    sent = send(api, units(*["="] * 5))
    queue.run_due()
    address, lines = f"imports/{sent.body['id']}/problems", []
    path = f"{address}?limit=2"
    while path:
        page = api.get(path, yard.otto).body
        lines += [one["line"] for one in page["items"]]
        path = page["next"] and page["next"].removeprefix("http://testserver")
    assert lines == [2, 3, 4, 5, 6]
    file = api.get(f"{address}.csv", yard.otto)
    table = list(csv.reader(StringIO(file.content.decode("utf-8-sig"))))
    assert [row[:3] for row in table[:2]] == [
        ["Line", "Column", "Title"],
        ["2", "B", "Serial number"],
    ]
    assert api.get(f"{address}.xlsx", yard.otto).content.startswith(b"PK")
    assert api.get(f"{address}.csv", yard.mira).status == 404
    assert api.get(f"{address}?cursor=eA", yard.otto).code == "cursor-unfit"


def test_every_kind_is_listed_with_its_columns_and_its_template(yard: Yard, api: Api) -> None:
    """In the language of whoever asks."""
    yard.ada.language = "es"
    yard.ada.save()
    listed = api.get("imports/kinds").body["items"]
    assert [one["kind"] for one in listed] == list(IMPORTS)
    assert listed[0]["columns"][1] == {
        "name": "serial",
        "title": "Número de serie",
        "kind": "code",
        "required": True,
        "example": "TC00017",
    }
    text = api.get("imports/kinds/units/template.csv").content.decode("utf-8-sig")
    assert text.startswith("Fabricante,Número de serie,")
    assert api.get("imports/kinds/wheels/template.csv").status == 404


def test_a_person_sees_only_their_own_imports(yard: Yard, api: Api) -> None:
    """The newest first."""
    ids = [send(api, units(serial)).body["id"] for serial in ("1", "2")]
    listed = api.get("imports", yard.otto).body["items"]
    assert [one["id"] for one in listed] == ids[::-1]
    assert api.get("imports", yard.mira).body["items"] == []
