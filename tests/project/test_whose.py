"""The yard on record decides: every command and every address, with another yard's things.

Una holds every role at the yard in the south, and her bodies look honest: they name her own yard.
"""

from collections.abc import Iterator
from pathlib import Path
from typing import Any
from urllib.parse import urlencode
from uuid import UUID, uuid4

import msgspec
import pytest
from django.test import Client
from knox.models import AuthToken

from api.commands import STREAMS
from prep.actions.perform import perform
from prep.models import Person
from prep.record.buyer.commands import AddBuyer
from prep.record.commands import COMMANDS
from prep.record.examples import example_of
from prep.record.instrument.commands import MoveInstrument, RecordInstrument
from prep.record.refusal import Refusal
from prep.record.unit.commands.buyers import AssignBuyer
from prep.record.unit.commands.joining import JoinUnit
from prep.record.unit.commands.receiving import ReceiveUnit
from tests.cast import PASSWORD, PIN, TAPE, WRENCH, Yard
from tests.kept_yard import dumped
from tests.project.other_yard import Route, one_of_everything, other_yards_manager, routes
from tests.stored_files import own_folders, picture

# What belongs to no yard of its own: the dealership's reference data, rules, the public checks.
OF_NO_YARD = {
    "digest", "ending", "kind", "language", "manufacturer", "model", "name", "newer", "number",
    "procedure", "revision", "rule", "secret", "username", "size", "step", "tractor",
}  # fmt: skip
VALUES: dict[str, Any] = {
    "digest": "0" * 64, "ending": "csv", "kind": "sheet", "step": "block", "size": 1,
}  # fmt: skip
# The command in an address of a page, by what stands before it.
NAMED = {
    "units/": "unit.hold",
    "documents/": "stop",
    "imports/": "stop",
    "buyers/": "buyer.amend",
    "devices/": "revoke",
    "people/": "person.suspend",
}
BODIES: dict[str, Any] = {"documents": {"kind": "sheet"}}


@pytest.fixture(autouse=True)
def _own_folders(settings: Any, tmp_path: Path) -> None:
    own_folders(settings, tmp_path)


@pytest.fixture
def una(yard: Yard) -> Person:
    """Somebody who is everything at another yard, and nothing at this one."""
    return other_yards_manager(yard)


def of_a_yard() -> Iterator[Route]:
    """The addresses that name something that belongs to a yard."""
    for route in routes():
        # A visit is opened by its link, and is nobody's of a yard.
        if set(route.names) - OF_NO_YARD and not route.path.startswith("visit/"):
            yield route


def values_of(route: Route, things: dict[str, Any]) -> dict[str, Any]:
    """What stands in an address."""
    command = next((name for start, name in NAMED.items() if route.path.startswith(start)), "")
    return {"code": things["instrument"], **VALUES, "name": command, **things}


def body_of(path: str) -> dict[str, Any]:
    """A body as somebody honest in the south would send it."""
    for command in COMMANDS.values():
        noun = "" if command.noun() == command.stream else f"/{command.noun()}"
        of_stream = path.split("/")[3] == STREAMS.get(command.stream, ("",))[0]
        if command.offered and of_stream and path.endswith(f"{noun}/{command.verb()}"):
            own = {"site": "south"} if hasattr(command, "site") else {}
            pin = {"pin": PIN} if command.signs() else {}
            return {**example_of(command), **own, **pin}
    body: dict[str, Any] = BODIES.get(path.rpartition("/")[2], {})
    return body


def asked(page: Client, path: str, headers: dict[str, str]) -> list[Any]:
    """The answers to reading an address, and to sending it something."""
    if not path.startswith("/api/"):
        return [page.get(path), page.post(path, {"command": str(uuid4())})]
    sent = {**headers, "Idempotency-Key": str(uuid4()), "If-Match": '"1"'}
    if path.endswith("/attach"):
        query = urlencode({"step": "block", "line": "blocked"} if "/photo/" in path else {})
        posted = page.post(f"{path}?{query}", picture(), "image/png", headers=sent)
    else:
        posted = page.post(path, body_of(path), "application/json", headers=sent)
    return [page.get(path, headers=sent), posted]


def kept() -> dict[str, Any]:
    """Every row there is, but for the counts of attempts at secrets."""
    return {name: rows for name, rows in dumped().items() if name != "prep_attempt"}


def test_no_address_shows_or_changes_what_another_yard_has(yard: Yard, una: Person) -> None:
    """Nothing of it exists for Una, read or written, by page or API, and nothing changed."""
    things = one_of_everything(yard)
    page = Client(raise_request_exception=False)
    assert page.login(username=una.username, password=PASSWORD)
    headers = {"Authorization": f"Token {AuthToken.objects.create(user=una)[1]}"}
    before, tried = kept(), 0
    wrong: list[tuple[str, list[tuple[int, bytes]]]] = []
    for route in of_a_yard():
        path = route.filled(values_of(route, things))
        answers = asked(page, path, headers)
        statuses = {answer.status_code for answer in answers}
        tried += 1
        if not statuses <= {403, 404, 405} or statuses == {405}:
            wrong.append((path, [(one.status_code, one.getvalue()[:300]) for one in answers]))
    assert wrong == []
    assert tried > 60
    after = kept()
    assert {name for name, rows in after.items() if before.get(name) != rows} == set()


def test_what_addresses_name_is_sorted_into_whose_it_is(yard: Yard) -> None:
    """A new name in an address fails here until somebody says whose it is."""
    things = {*one_of_everything(yard), "code", "instrument"}
    assert {name for route in routes() for name in route.names} <= things | OF_NO_YARD


def test_what_is_named_in_a_body_belongs_to_the_yard_too(yard: Yard, una: Person) -> None:
    """On Una's own unit nothing of the north's is found; nor is anything made at the north."""
    things = one_of_everything(yard)
    receiving = ReceiveUnit(site="south", maker="Larkfield", serial="TC9", model="TC-12")
    mine: UUID = perform(receiving, actor=una).unit
    perform(RecordInstrument(site="south", instrument=tool("M-9"), reason="new"), actor=una)
    commands: list[tuple[Any, Any, set[str]]] = [
        (AssignBuyer(buyer=things["buyer"], tractor="T-90"), mine, {"no-such-buyer"}),
        (JoinUnit(joined=things["unit"], reason="r", pin=PIN), mine, {"no-such-unit"}),
        (MoveInstrument(site="south", to=yard.site, reason="r"), "M-9", {"no-such-site"}),
        (
            RecordInstrument(site="south", instrument=WRENCH, reason="r"),
            None,
            {"instrument-of-another-yard"},
        ),
        (AddBuyer(site=yard.site, name="Fen (invented)"), None, {"no-such-site"}),
    ]
    before = kept()
    for command, target, codes in commands:
        with pytest.raises(Refusal) as caught:
            perform(command, actor=una, target=target)
        assert caught.value.code in codes, command.tag()
    assert kept() == before


def tool(code: str) -> Any:
    """A tape of another code."""
    return msgspec.structs.replace(TAPE, code=code)
