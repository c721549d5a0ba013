"""How many SQL statements a request costs, whatever the size of sheet, history and list."""

import json
from pathlib import Path
from typing import Any
from uuid import UUID, uuid4

from django.conf import settings
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from prep.actions.accounts.tokens import sign_in
from prep.actions.perform import perform
from prep.management.demo.dealership import MANUFACTURERS
from prep.management.yaml_files import read_instruments
from prep.models import Event, Person
from prep.record.instrument.commands import RecordInstrument
from prep.record.manufacturer.commands import AddManufacturer
from prep.record.model.commands import PublishModel
from prep.record.procedure.commands import PublishProcedure
from prep.record.unit.commands.receiving import ReceiveUnit
from prep.record.unit.commands.sheets import StartSheet
from tests.cast import Yard

FIXTURES = Path(settings.BASE_DIR) / "fixtures"
COUNTED = ("SELECT", "INSERT", "UPDATE", "DELETE")


def statements(who: Person, method: str, path: str, body: dict[str, Any] | None = None) -> int:
    """Statements of one request that succeeds; beginning and ending a transaction are not."""
    token = sign_in(who).text
    headers = {"Authorization": f"Token {token}", "Idempotency-Key": str(uuid4())}
    with CaptureQueriesContext(connection) as captured:
        answer = Client().generic(
            method,
            f"/api/v1/{path}",
            json.dumps(body) if body is not None else "",
            content_type="application/json",
            headers=headers,
        )
    assert answer.status_code < 300, answer.content
    return sum(query["sql"].lstrip().startswith(COUNTED) for query in captured)


def long_sheet(yard: Yard) -> UUID:
    """A shipped cutter whose sheet has more than sixty steps, started."""
    for maker in MANUFACTURERS:
        perform(AddManufacturer(name=maker), actor=yard.otto)
    for _, tool in read_instruments(FIXTURES / "instruments.yaml"):
        command = RecordInstrument(site=yard.site, instrument=tool, reason="first list")
        perform(command, actor=yard.otto)
    for path in sorted((FIXTURES / "models").rglob("*.yaml")):
        perform(PublishModel(document=path.read_text()), actor=yard.otto)
    procedure = (FIXTURES / "procedures" / "rotary-cutter-r1.yaml").read_text()
    perform(PublishProcedure(document=procedure), actor=yard.otto)
    received = perform(
        ReceiveUnit(
            site=yard.site, maker="Larkfield Implements", serial="RC1520260100001", model="LF-RC15"
        ),
        actor=yard.ada,
    )
    perform(StartSheet(), actor=yard.ada, target=received.unit)
    return received.unit


def test_a_reading_costs_as_little_on_a_long_sheet_with_a_long_history(yard: Yard) -> None:
    """At most 14, with 300 events behind it as with ten."""
    unit = yard.started()
    body = {"step": "pitch", "line": "front", "text": "7 in"}
    path = f"units/{unit}/reading/take"
    short = statements(yard.ada, "POST", path, body)
    last = yard.take(unit, "pitch", "finish", "good").events[0]
    for number in range(145):
        value = "scratched" if number % 2 == 0 else "good"
        last = yard.take(
            unit, "pitch", "finish", value, supersedes=last.reading, reason="looked again"
        ).events[0]
    assert Event.objects.filter(stream_id=str(unit)).count() > 250
    body = {**body, "text": "4 in", "supersedes": current(unit), "reason": "Put right."}
    assert short <= 14
    assert statements(yard.ada, "POST", path, body) <= 14
    cutter = long_sheet(yard)
    check = {"step": "pieces", "line": "counted", "answer": True}
    assert statements(yard.ada, "POST", f"units/{cutter}/check/complete", check) <= 14


def current(unit: UUID) -> str:
    """Id of the entry that stands in the front tip's box."""
    event = Event.objects.filter(stream_id=str(unit), body__contains='"line":"front"')
    reading: str = json.loads(event.order_by("version")[0].body)["reading"]
    return reading


def test_a_long_sheet_reads_in_few_statements(yard: Yard) -> None:
    """At most 8 for more than sixty steps."""
    unit = long_sheet(yard)
    assert statements(yard.ada, "GET", f"units/{unit}/sheet") <= 8


def test_a_list_of_fifty_units_reads_in_few_statements(yard: Yard) -> None:
    """At most 6."""
    for _ in range(50):
        yard.receive()
    assert statements(yard.sol, "GET", "units?limit=50") <= 6
