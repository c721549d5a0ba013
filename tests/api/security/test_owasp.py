"""Attempts on the API, in the order of the OWASP API Security Top 10, 2023 edition.

Source of the items and their titles: OWASP API Security Top 10, 2023 edition
(https://owasp.org/API-Security/editions/2023/en/0x11-t10/). Each attempt is a real request by
somebody of the cast; each ends in a denial, and nothing is changed by it.
"""

import json
import re
import socket
from datetime import timedelta
from pathlib import Path
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import Resolver404, get_resolver, resolve
from django.utils import timezone
from knox.models import AuthToken

from prep.models import Person
from prep.project.celery_app import app as celery_app
from prep.record.buyer.commands import AddBuyer
from prep.record.command import Command
from prep.record.commands import COMMANDS
from prep.record.examples import example_of
from prep.record.roles import Role
from reports import queue
from reports.models import DocumentRequest, State
from reports.queue import submit
from tests.api.client import ROOT, Answer, Api, schema
from tests.cast import PASSWORD, Yard, add_buyer
from tests.refusals import everything
from tests.stored_files import own_folders, picture

CODE = Path(__file__).parents[3]
# What anybody may ask: the description, the door, a document's number or file, the log's keys.
PUBLIC = {"sign-in", "verify", "verify/{number}", "log/keys"}


def denied(answer: Answer, before: list[Any], *statuses: int) -> bool:
    """Whether a request was denied, told so as a problem, and changed nothing."""
    assert answer.status in statuses, answer.body
    assert answer.body is None or answer.body["status"] == answer.status
    return everything() == before


# API1:2023 Broken Object Level Authorization


def test_api1_the_id_of_a_unit_opens_nothing_to_somebody_of_no_role_there(
    api: Api, yard: Yard
) -> None:
    """Reads, commands, documents: as if there were no such unit."""
    unit = yard.ready()
    asked = queue.request(kind="labels", cause="a", unit=unit, person=yard.ada)
    before = everything()
    for path in ("", "/readiness", "/history", "/sheet", "/refused", "/documents"):
        assert denied(api.get(f"units/{unit}{path}", yard.outsider), before, 404)
    for path in ("", "/file", "/proof"):
        assert denied(
            api.get(f"units/{unit}/documents/{asked.pk}{path}", yard.outsider), before, 404
        )
    body = {"reason": "I say so (invented)."}
    assert denied(api.post(f"units/{unit}/hold", body, yard.outsider), before, 403, 404)
    for verb in ("cancel", "retry", "remake"):
        path = f"units/{unit}/documents/{asked.pk}/{verb}"
        assert denied(api.post(path, {}, yard.outsider), before, 404)
    asked.refresh_from_db()
    assert asked.state == State.WAITING


def test_api1_a_document_of_one_unit_is_not_reached_through_another(api: Api, yard: Yard) -> None:
    """Nor one that somebody else asked for through the address of one's own."""
    unit, other = yard.receive(), yard.receive()
    asked = queue.request(kind="labels", cause="a", unit=unit, person=yard.ada)
    own = queue.request(kind="labels", cause="b", person=yard.ada)
    before = everything()
    assert denied(api.get(f"units/{other}/documents/{asked.pk}"), before, 404)
    assert denied(api.get(f"documents/{asked.pk}"), before, 404)
    assert denied(api.get(f"documents/{own.pk}", yard.ben), before, 404)
    assert denied(api.post(f"documents/{own.pk}/cancel", {}, yard.mira), before, 404)


# API2:2023 Broken Authentication


def test_api2_a_token_that_is_past_signed_out_or_made_up_opens_nothing(
    api: Api, yard: Yard
) -> None:
    """Nor one in the address, where logs keep it, nor a password in each request."""
    _, past = AuthToken.objects.create(user=yard.ada, expiry=timedelta(seconds=-1))
    _, out = AuthToken.objects.create(user=yard.ada)
    signed_out = api.send(
        "POST", "sign-out", headers={"Authorization": f"Token {out}"}, anonymous=True
    )
    assert signed_out.status == 204
    good = api.token(yard.ada)
    before = everything()
    for value in (
        f"Token {past}",
        f"Token {out}",
        f"Token {good[:-1]}x",
        f"Bearer {good}",
        "Token",
        "Token " + "x" * 5000,
        "Basic YWRhLW5vcnRoOmFuIGludmVudGVkIGxvbmcgd29yZA==",
    ):
        answer = api.send("GET", "me", headers={"Authorization": value}, anonymous=True)
        assert denied(answer, before, 401)
    in_address = api.send("GET", f"me?token={good}", headers={}, anonymous=True)
    assert denied(in_address, before, 401)


def test_api2_the_cookie_of_the_pages_is_no_key_to_the_api(yard: Yard) -> None:
    """So no page elsewhere can have a browser send a command (cross-site request forgery)."""
    unit = yard.receive()
    browser = Client()
    assert browser.login(username=yard.mira.username, password=PASSWORD)
    before = everything()
    answer = browser.post(
        f"{ROOT}units/{unit}/hold",
        json.dumps({"reason": "Forged (invented)."}),
        content_type="application/json",
        headers={"Idempotency-Key": str(uuid4())},
    )
    assert answer.status_code == 401
    assert everything() == before


def test_api2_nobody_guesses_a_password_for_long(api: Api, yard: Yard) -> None:
    """The sixth guess waits, and so does the right password after it."""
    body = {"username": yard.ada.username, "password": "a wrong long word"}
    statuses = [api.post("sign-in", body).status for _ in range(6)]
    assert statuses == [401] * 5 + [429]
    late = api.post("sign-in", {**body, "password": PASSWORD})
    assert (late.status, int(late.headers["Retry-After"]) > 0) == (429, True)


# API3:2023 Broken Object Property Level Authorization


@pytest.mark.parametrize(
    "member",
    ["id", "unit", "actor", "site", "state", "version", "recorded", "release", "kind", "command"],
)
def test_api3_a_member_that_a_command_does_not_have_is_refused(
    api: Api, yard: Yard, member: str
) -> None:
    """Nothing is assigned that the command does not name, and it is not left out silently."""
    unit = yard.receive()
    before = everything()
    body = {"place": "row 4", member: str(unit)}
    answer = api.post(f"units/{unit}/location/set", body)
    assert denied(answer, before, 422)
    assert [error["pointer"] for error in answer.body["errors"]] == [f"#/{member}"]


def test_api3_what_a_buyer_told_the_dealership_is_not_in_what_a_technician_reads(
    api: Api, yard: Yard
) -> None:
    """Lists, their exports, the unit, its history, the documents."""
    told = {"address": "7 Invented Lane", "phone": "555-0142", "email": "fen@example.com"}
    buyer = add_buyer(AddBuyer(site=yard.site, name="Fen Farm (invented)", **told), actor=yard.sol)
    unit = yard.prepared()
    yard.assign(unit, buyer=buyer)
    before = everything()
    for path in (f"buyers/{buyer.pk}", "buyers", "buyers?export=csv"):
        assert denied(api.get(path, yard.ada), before, 403)
    for path in ("", "/history", "/sheet", "/readiness", "/documents"):
        text = api.get(f"units/{unit}{path}", yard.ada).content.decode()
        assert not [word for word in told.values() if word in text]
    for path in ("units", "units?export=csv", "units?export=jsonl"):
        text = api.get(path, yard.ada).content.decode()
        assert not [word for word in told.values() if word in text]


def test_api3_secrets_are_in_no_answer_about_a_person(api: Api, yard: Yard) -> None:
    """Neither hashes nor what they are called."""
    for path in ("me", "permissions", "audit", "people", "members"):
        text = api.get(path, yard.otto).content.decode().casefold()
        assert "argon2" not in text
        assert "md5$" not in text
        assert '"password"' not in text


# API4:2023 Unrestricted Resource Consumption


@pytest.mark.parametrize(
    ("path", "statuses"),
    [
        ("units?limit=201", (400, 422)),
        ("units?limit=100000000000000000000", (400, 422)),
        ("units?limit=-1", (400, 422)),
        ("units?limit=0", (400, 422)),
        ("units?q=" + "a%20" * 2000, (400, 422)),
        ("units?cursor=" + "A" * 5000, (400, 422)),
    ],
)
def test_api4_nobody_asks_for_more_than_a_page(
    api: Api, yard: Yard, path: str, statuses: tuple[int, ...]
) -> None:
    """Refused by what is asked, before anything is looked up."""
    yard.receive()
    assert denied(api.get(path), everything(), *statuses)


def test_api4_a_batch_a_body_and_its_depth_have_an_end(api: Api, yard: Yard) -> None:
    """501 commands, two megabytes, a hundred thousand brackets."""
    unit = yard.receive()
    one = {"target": str(unit), "happened": "2026-01-01T00:00:00Z"}
    commands = [
        {**one, "id": str(uuid4()), "command": {"command": "location.set", "place": "x"}}
        for _ in range(501)
    ]
    device = {"id": "Tablet 2", "clock": "2026-01-01T00:00:00Z"}
    before = everything()
    batch = {"device": device, "commands": commands}
    assert denied(api.send("POST", "commands", headers={}, body=batch), before, 413, 422)
    large = b'{"place": "' + b"x" * 2_000_000 + b'"}'
    deep = b'{"place": ' + b"[" * 100_000 + b"]" * 100_000 + b"}"
    for content, statuses in ((large, (413,)), (deep, (400, 422))):
        key = {"Idempotency-Key": str(uuid4())}
        path = f"units/{unit}/location/set"
        answer = api.send("POST", path, headers=key, content=content)
        assert denied(answer, before, *statuses)


# API5:2023 Broken Function Level Authorization

# What stands in an address where no UUID does.
VALUES = {"ending": "csv", "person": "1", "revision": "1", "size": "1", "event": "1"}
OFFERED = [command for command in COMMANDS.values() if command.offered]
PLACES = {
    "unit": ("ready", "units/{}"),
    "buyer": ("buyer", "buyers/{}"),
    "instrument": ("", "instruments/W-1"),
    "site": ("", "sites/north"),
}


@pytest.mark.parametrize("command", OFFERED, ids=lambda one: one.tag())
def test_api5_no_role_gives_a_command_that_the_table_denies_it(
    api: Api, yard: Yard, command: type[Command]
) -> None:
    """Each command over HTTP, by each of the yard who may not, and by somebody of no yard."""
    people = {
        Role.TECHNICIAN: yard.ada,
        Role.SERVICE_MANAGER: yard.mira,
        Role.SALES: yard.sol,
        Role.AUDITOR: yard.rhea,
        Role.ADMINISTRATOR: yard.otto,
    }
    may_not = [person for role, person in people.items() if role not in command.permission.roles]
    path = address(yard, command)
    before = everything()
    for person in [*may_not, yard.outsider]:
        answer = sent_example(api, path, command, person)
        assert denied(answer, before, 403, 404), person


def address(yard: Yard, command: type[Command]) -> str:
    """Where a command is sent, with something that is there in the place of its target."""
    noun = "" if command.noun() == command.stream else f"/{command.noun()}"
    if command.creates:
        base = {"unit": "units", "buyer": "buyers"}.get(command.stream, f"{command.stream}s")
        return f"{base}{noun}/{command.verb()}"
    method, base = PLACES.get(command.stream, ("", f"{command.stream}s/{uuid4()}"))
    if command.stream in {"model", "procedure", "token", "device", "account", "guest"}:
        base = f"{command.stream}s/any"
    there = getattr(yard, method)() if method else ""
    return f"{base.format(getattr(there, 'pk', there))}{noun}/{command.verb()}"


def sent_example(api: Api, path: str, command: type[Command], person: Person) -> Answer:
    """The example that the schema publishes, as this person."""
    headers = {"Idempotency-Key": str(uuid4()), "If-Match": "*"}
    if not command.attachment:
        return api.send("POST", path, person, headers=headers, body=example_of(command))
    query = "&".join(f"{name}={value}" for name, value in example_of(command).items())
    return api.send(
        "POST",
        f"{path}?{query}",
        person,
        headers=headers,
        content=picture(),
        content_type="image/png",
    )


def test_api5_another_method_is_another_function_and_not_there(api: Api, yard: Yard) -> None:
    """Nor does a header turn one into another."""
    unit = yard.receive()
    before = everything()
    for method in ("PUT", "PATCH", "DELETE"):
        assert denied(api.send(method, f"units/{unit}", headers={}, body={}), before, 405)
    headers = {"X-HTTP-Method-Override": "DELETE", "Idempotency-Key": str(uuid4())}
    assert denied(
        api.send("POST", f"units/{unit}", yard.otto, headers=headers, body={}), before, 405
    )


# API6:2023 Unrestricted Access to Sensitive Business Flows


def test_api6_nobody_keeps_the_workers_busy_for_everybody_else(
    api: Api, yard: Yard, monkeypatch: pytest.MonkeyPatch
) -> None:
    """So many documents a person and day; the one asked for before is still told of."""
    monkeypatch.setattr(submit, "MOST_A_DAY", 3)
    unit = yard.receive()
    path, key = f"units/{unit}/documents", uuid4()
    labels = {"kind": "labels", "parameters": {"size": "roll-50x25"}}
    assert api.post(path, labels, key=key).status == 201
    assert [api.post(path, labels).status for _ in range(2)] == [201, 201]
    before = everything()
    refused = api.post(path, labels)
    assert denied(refused, before, 429)
    assert refused.code == "too-many-documents"
    assert 86_000 < int(refused.headers["Retry-After"]) <= 86_400
    assert api.post(path, labels, key=key).status == 201
    assert api.post(path, labels, yard.mira).status == 201
    DocumentRequest.objects.filter(person=yard.ada).update(
        created=timezone.now() - timedelta(hours=25)
    )
    assert api.post(path, labels).status == 201


def test_api6_nobody_tries_the_numbers_of_documents_one_after_the_other(api: Api) -> None:
    """Sixty a minute and address; the sixty-first waits."""
    statuses = [
        api.send("GET", f"verify/C-{number}", headers={}, anonymous=True).status
        for number in range(61)
    ]
    assert 429 not in statuses[:60]
    assert statuses[60] == 429


# API7:2023 Server Side Request Forgery


def test_api7_the_service_fetches_nothing_that_anybody_names() -> None:
    """No module opens an address; the demonstration's own client aside, which asks itself."""
    fetching = re.compile(r"urlopen|http\.client|requests\.(get|post)|httpx|aiohttp|socket\.create")
    found = [
        path.relative_to(CODE).as_posix()
        for package in ("prep", "api", "reports")
        for path in (CODE / package).rglob("*.py")
        if fetching.search(path.read_text())
    ]
    assert found == ["prep/management/demo/api_client.py"]


def test_api7_markup_in_what_people_type_is_drawn_and_not_followed(
    yard: Yard, settings: Any, tmp_path: Path
) -> None:
    """A name with a picture's address in it is printed as it was typed on the certificate."""
    own_folders(settings, tmp_path)
    with socket.create_server(("127.0.0.1", 0)) as lure:
        lure.setblocking(False)
        port = lure.getsockname()[1]
        typed = f'Fen <img src="http://127.0.0.1:{port}/x.png"/> <img src="file:///etc/passwd"/>'
        buyer = add_buyer(AddBuyer(site=yard.site, name=typed), actor=yard.sol)
        unit = yard.prepared()
        yard.assign(unit, buyer=buyer)
        yard.match_tractor(unit)
        yard.release(unit)
        queue.catch_up()
        queue.run_due()
        made = queue.requests_of(unit).get(kind="certificate")
        assert (made.state, made.failure) == (State.DONE, "")
        with pytest.raises(BlockingIOError):
            lure.accept()


@pytest.mark.parametrize(
    "email",
    [
        "a@example.com\nBcc: b@example.com",
        "a@example.com, b@example.com",
        "a@[127.0.0.1]",
        "a@127.0.0.1",
    ],
)
def test_api7_a_mail_goes_to_one_address_that_is_one(api: Api, yard: Yard, email: str) -> None:
    """Whoever keeps checkpoints is the one thing outside that the service writes to."""
    before = everything()
    answer = api.post(
        f"sites/{yard.site}/keeper/add", {"email": email, "language": "en"}, yard.otto
    )
    assert denied(answer, before, 422)


@pytest.mark.parametrize("elsewhere", ["https://example.com/", "//example.com/", "/\\example.com"])
def test_api7_signing_in_leads_nowhere_else(yard: Yard, elsewhere: str) -> None:
    """The page after it is one of ours."""
    form = {"username": yard.ada.username, "password": PASSWORD, "next": elsewhere}
    answer = Client().post("/sign-in", form)
    assert (answer.status_code, answer["Location"]) == (302, "/")


# API8:2023 Security Misconfiguration


@pytest.mark.parametrize("path", ["/sign-in", f"{ROOT}schema", f"{ROOT}me", "/alive", "/verify"])
def test_api8_every_answer_has_its_headers_and_none_lets_other_sites_in(
    yard: Yard, path: str
) -> None:
    """No framing, no guessing of types, scripts of our own only; no cross-origin reading."""
    answer = Client().get(path, headers={"Origin": "https://example.com"})
    assert answer["X-Content-Type-Options"] == "nosniff"
    assert answer["X-Frame-Options"] == "DENY"
    assert answer["Referrer-Policy"] == "same-origin"
    assert "default-src 'self'" in answer["Content-Security-Policy"]
    assert not [name for name in answer.headers if name.startswith("Access-Control-")]
    preflight = Client().options(
        path, headers={"Origin": "https://example.com", "Access-Control-Request-Method": "POST"}
    )
    assert not [name for name in preflight.headers if name.startswith("Access-Control-")]


@pytest.mark.parametrize(
    "path",
    [
        "/admin/",
        "/.git/config",
        "/.env",
        "/secret_key",
        "/static/../secret_key",
        "/static/%2e%2e/%2e%2e/secret_key",
        "/files/",
        "/media/",
        "/__debug__/",
        "/api/v1/schema/../../../secret_key",
        "/metrics",
    ],
)
def test_api8_nothing_lies_open_beside_the_service(db: None, path: str) -> None:
    """Neither what frameworks bring along, nor the folder it keeps its own in."""
    answer = Client().get(path)
    assert answer.status_code == 404
    assert b"Traceback" not in answer.content


def test_api8_a_name_that_is_not_ours_and_a_trace_are_not_answered(yard: Yard) -> None:
    """A forged Host would lead to links elsewhere; TRACE would show what proxies add."""
    assert Client().get("/sign-in", headers={"Host": "example.com"}).status_code == 400
    assert Client().trace("/sign-in").status_code == 405
    assert Client().trace(f"{ROOT}me").status_code in {401, 405}


# API9:2023 Improper Inventory Management


def test_api9_every_route_of_the_api_is_in_its_schema_and_the_other_way_round() -> None:
    """One version, one description of it, nothing beside it."""
    patterns: Any = get_resolver().url_patterns
    (api_routes,) = [one for one in patterns if str(one.pattern) == ROOT.lstrip("/")]
    routes = {
        "/" + ROOT.lstrip("/") + re.sub(r"<\w+:(\w+)>", r"{\1}", str(one.pattern))
        for one in api_routes.url_patterns
        if str(one.pattern)
    }
    unlisted = {f"{ROOT}schema"}  # the description itself
    assert routes - unlisted == set(schema()["paths"]) - unlisted


@pytest.mark.parametrize("path", ["/api/", "/api/v0/me", "/api/v2/me", "/api/me", "/v1/me"])
def test_api9_there_is_no_other_version(path: str) -> None:
    """Old ones are not kept, and none is begun in secret."""
    with pytest.raises(Resolver404):
        resolve(path)


def test_api9_every_operation_but_a_named_few_asks_for_a_token(api: Api, yard: Yard) -> None:
    """Tried, not only said: each address of the schema without one."""
    before = everything()
    open_to_all = set()
    for path, operations in schema()["paths"].items():
        address = re.sub(r"\{(\w+)\}", lambda part: VALUES.get(part[1], str(uuid4())), path)
        for method in operations:
            answer = api.send(method.upper(), address, headers={}, anonymous=True)
            if answer.status != 401:
                open_to_all.add(path.removeprefix(ROOT))
    assert open_to_all == PUBLIC
    assert everything() == before


# API10:2023 Unsafe Consumption of APIs


@pytest.mark.parametrize(
    "cell",
    ['=HYPERLINK("http://example.com")', "@SUM(1)", "+1+cmd|' /C calc'!A0", "-2+3", "\t=1"],
)
def test_api10_a_formula_in_a_file_from_elsewhere_is_not_taken(
    api: Api, yard: Yard, cell: str
) -> None:
    """It would be carried out in the next spreadsheet that a list is exported to."""
    before = everything()
    quoted = cell.replace('"', '""')
    content = f'Manufacturer,Serial number,Model\r\nLarkfield,"{quoted}",TC-12\r\n'
    sent = api.send(
        "POST",
        "imports?kind=units&run=true",
        yard.otto,
        headers={"Idempotency-Key": str(uuid4())},
        content=content.encode(),
        content_type="text/csv",
    )
    if sent.status == 201:
        queue.run_due()
        seen = api.get(f"imports/{sent.body['id']}", yard.otto).body
        assert (seen["made"], seen["problems"]) == (0, 1)
    assert everything() == before


@pytest.mark.parametrize("clock", ["0001-01-01T00:00:00Z", "9999-12-31T23:59:59Z"])
def test_api10_a_device_whose_clock_lies_dates_nothing(api: Api, yard: Yard, clock: str) -> None:
    """What it says of a moment is moved by as much as its clock is off, and held to the bounds."""
    unit = yard.receive()
    before = everything()
    answer = api.post(
        f"units/{unit}/location/set",
        {"place": "row 4"},
        Device_Clock=clock,
        Happened_At="2020-01-01T00:00:00Z",
    )
    assert denied(answer, before, 400, 422)


def test_api10_a_message_of_the_broker_is_no_program() -> None:
    """Workers read JSON only; a pickled message would be run as it is unpacked."""
    assert list(celery_app.conf.accept_content) == ["json"]
    assert celery_app.conf.task_serializer == "json"
