"""No request makes the service fail, and every answer is one that its schema describes.

Schemathesis makes requests as the published schema describes them, and some against it; in most of
them something is then put at an edge. Everybody of the yard sends them, and somebody who did not
sign in. Each is taken back afterwards.
"""

import itertools
import logging
import random
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from django.core.cache import cache
from django.core.handlers.wsgi import WSGIHandler
from django.core.signals import request_finished, request_started
from django.db import close_old_connections, transaction
from hypothesis import HealthCheck, Phase, given, seed, settings
from knox.models import AuthToken
from schemathesis import Case
from schemathesis.checks import not_a_server_error
from schemathesis.core.failures import FailureGroup
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_schema_conformance,
    status_code_conformance,
)

from prep.models import (
    Buyer,
    Event,
    Instrument,
    MachineModel,
    Manufacturer,
    Photo,
    ProcedureRevision,
)
from reports import queue
from reports.models import DocumentRequest, Import
from tests.api.client import schema
from tests.campaigns.requests.plan import COUNT, SEED, SHARDS
from tests.campaigns.requests.requests import Sent, at_an_edge, cases_of, operations_of
from tests.cast import PASSWORD, PIN, Yard
from tests.reports.imports import sent
from tests.reports.sold_units import buyer_with_address, hand_over, ready_for
from tests.stored_files import own_folders

CHECKS = [
    not_a_server_error,
    status_code_conformance,
    content_type_conformance,
    response_schema_conformance,
]
NOBODY = ""
# Who is in the yard asks more often than who is not.
INSIDERS = ["ada-north", "mira-north", "mira-north", "otto-north", "sol-north"]


class Kept(logging.Handler):
    """The exceptions that the service logged."""

    def __init__(self) -> None:
        super().__init__(logging.ERROR)
        self.seen: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        """Keep what was raised, and where."""
        if record.exc_info and record.exc_info[1] is not None:
            wrong = record.exc_info[1]
            at = wrong.__traceback__
            while at is not None and at.tb_next is not None:
                at = at.tb_next
            where = f"{at.tb_frame.f_code.co_filename}:{at.tb_lineno}" if at else ""
            self.seen.append(f"{type(wrong).__name__}: {wrong} ({where})"[:500])


@pytest.fixture
def logged() -> Iterator[Kept]:
    """What the service logs as its own mistakes, while requests are sent."""
    kept = Kept()
    logging.getLogger().addHandler(kept)
    yield kept
    logging.getLogger().removeHandler(kept)


@pytest.fixture
def _connection_stays() -> Iterator[None]:
    """A server closes its connection after a request, and what was begun would be lost."""
    for signal in (request_started, request_finished):
        signal.disconnect(close_old_connections)
    yield
    for signal in (request_started, request_finished):
        signal.connect(close_old_connections)


@pytest.fixture
def busy_yard(yard: Yard, settings: Any, tmp_path: Path) -> Yard:
    """A yard with a unit just received, one in work, one handed over, and their documents."""
    own_folders(settings, tmp_path)
    yard.receive()
    yard.block_deck(yard.started())
    sold = ready_for(yard, buyer_with_address(yard))
    yard.release(sold)
    hand_over(yard, sold)
    queue.catch_up()
    sent.send(yard, sent.units("00017", "00018"), name="units.csv")
    return yard


def people_of(yard: Yard) -> dict[str, str]:
    """A token for everybody, by name, and none for nobody."""
    everybody = (yard.ada, yard.mira, yard.sol, yard.rhea, yard.otto, yard.outsider)
    tokens = {one.username: AuthToken.objects.create(user=one)[1] for one in everybody}
    return {**tokens, NOBODY: ""}


def things_of(yard: Yard) -> dict[str, list[str]]:
    """What there is in a yard, by the name a parameter or a field has for it."""
    events = Event.objects.order_by("pk")
    units = [*events.filter(stream="unit", version=1).values_list("stream_id", flat=True)]
    known: dict[str, Any] = {
        "unit": units,
        "site": [yard.site],
        "event": [*events.values_list("pk", flat=True)[:5]],
        "photo": Photo.objects.values_list("pk", flat=True),
        "document": DocumentRequest.objects.values_list("pk", flat=True),
        "buyer": Buyer.objects.values_list("pk", flat=True),
        "import_id": Import.objects.values_list("pk", flat=True),
        "number": [*DocumentRequest.objects.values_list("number", flat=True), "C-1"],
        "size": [1, 2],
        "older": [1],
        "newer": [2],
        "digest": events.filter(stream="wording").values_list("stream_id", flat=True),
        "manufacturer": Manufacturer.objects.values_list("pk", flat=True),
        "maker": ["Larkfield"],
        "code": Instrument.objects.values_list("code", flat=True),
        "instrument": Instrument.objects.values_list("code", flat=True),
        "model": MachineModel.objects.values_list("code", flat=True),
        "tractor": ["T-90"],
        "procedure": ProcedureRevision.objects.values_list("procedure", flat=True),
        "revision": [1],
        "rule": ["torque.dry", "tire.pressure", "driveline.length"],
        "kind": ["units", "buyers", "certificate", "labels", "audit"],
        "ending": ["csv", "xlsx"],
        "pin": [PIN],
        "username": [yard.ada.username],
        "password": [PASSWORD],
        "step": ["pitch", "blades", "block"],
        "line": ["finish", "torque", "blocked"],
        "position": ["left", ""],
    }
    return {name: [str(value) for value in values] for name, values in known.items() if values}


@pytest.mark.django_db
@pytest.mark.usefixtures("_connection_stays")
# The answers are read and not closed by whoever sends the requests, so files stay open for a while.
@pytest.mark.filterwarnings(
    "ignore::ResourceWarning", "ignore::pytest.PytestUnraisableExceptionWarning"
)
@pytest.mark.parametrize("shard", range(SHARDS))
def test_no_request_makes_the_service_fail(shard: int, busy_yard: Yard, logged: Kept) -> None:
    """Nothing but what the schema describes is ever answered."""
    campaign = Campaign(people_of(busy_yard), things_of(busy_yard), logged)
    operations = operations_of(schema())
    for operation in operations[shard::SHARDS]:
        campaign.send_to(operation, -(-COUNT // len(operations)))
    print(sorted(campaign.statuses.items()), *campaign.wrong.values(), sep="\n")
    assert not campaign.wrong, f"{len(campaign.wrong)} kinds of wrong answers"
    assert set(campaign.statuses) >= {200, 400, 401, 404, 422}, "they no longer reach anything"


class Campaign:
    """Requests sent by everybody of a yard, and what was wrong with the answers."""

    def __init__(self, people: dict[str, str], known: dict[str, list[str]], logged: Kept) -> None:
        self.people, self.known, self.logged = people, known, logged
        self.app = WSGIHandler()
        self.statuses: Counter[int] = Counter()
        self.wrong: dict[str, str] = {}

    def send_to(self, operation: Any, count: int) -> None:
        """Send so many requests to one operation."""
        numbers = itertools.count()

        @seed(SEED)
        @settings(
            max_examples=count,
            database=None,
            deadline=None,
            phases=[Phase.generate],
            suppress_health_check=list(HealthCheck),
        )
        @given(case=cases_of(operation))
        def send(case: Case) -> None:
            chance = random.Random(f"{SEED} {operation.label} {next(numbers)}")
            self.send(
                at_an_edge(case, self.known, chance), chance.choice(sorted(self.people) + INSIDERS)
            )

        send()

    def send(self, sent: Sent, person: str) -> None:
        """Send a request, hold its answer to the schema, and take back what it did."""
        cache.clear()
        self.logged.seen.clear()
        headers = {"Accept-Encoding": "identity"}
        if person:
            headers["Authorization"] = f"Token {self.people[person]}"
        more: dict[str, Any] = {} if sent.content is None else {"data": sent.content}
        taken_back: Any = transaction.atomic()
        taken_back._from_testcase = True  # as a test's own: attempts at a secret are kept within it
        with taken_back:
            answer = sent.case.call(app=self.app, headers={**headers, **sent.headers}, **more)
            transaction.set_rollback(True)
        self.statuses[answer.status_code] += 1
        try:
            sent.case.validate_response(answer, checks=CHECKS)
        except FailureGroup as group:
            self._keep(sent, person, answer, group)

    def _keep(self, sent: Sent, person: str, answer: Any, group: FailureGroup) -> None:
        """One of each kind of wrong answer, with what was sent."""
        asked = f"{sent.case.formatted_path} {sent.case.query} {sent.headers} {sent.content!r:.300}"
        for failure in group.exceptions:
            kind = f"{sent.case.operation.label}: {failure.title}, {answer.status_code}"
            said = f"{kind} by {person or 'nobody'} {self.logged.seen}\n    {failure.message:.600}"
            self.wrong.setdefault(
                f"{kind} {self.logged.seen}",
                f"{said}\n    {asked:.900}\n    {answer.content!r:.300}",
            )
