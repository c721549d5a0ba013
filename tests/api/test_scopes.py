"""What a token may be used for: every endpoint, every command, every list, and nothing beside."""

import re
from collections.abc import Iterator
from typing import Any, NamedTuple
from uuid import uuid4

import pytest
from django.urls import URLPattern
from django.urls.resolvers import RegexPattern

from api.commands import OFFERED, address_of
from api.operations import View
from api.urls import urlpatterns
from prep.actions.accounts.tokens import bearer
from prep.models import Person
from prep.record.command import Command
from prep.record.reads import may_read
from prep.record.roles import Role
from prep.record.token.scopes import (
    BY_COMMAND,
    EVERY,
    FULL,
    Access,
    Scope,
    scopes_of,
    scopes_of_read,
    takes_sign_in,
)
from reports.lists.all_lists import LISTS
from reports.registry import KINDS
from tests.actions.test_permissions import example, refusal_of, target_of
from tests.api.client import Answer, Api
from tests.cast import Yard
from tests.programs import issued
from tests.refusals import everything

pytestmark = pytest.mark.django_db

# Whoever asks for these needs no token at all.
OPEN = {"POST sign-in", "GET log/keys", "GET verify/{number}", "POST verify"}
# What these need depends on what is sent, which is why no scope stands at their door.
BY_WHAT_IS_SENT = {
    *("POST commands", "POST documents", "POST units/{unit}/documents", "POST imports"),
    *(f"POST imports/{{import_id}}/{verb}" for verb in ("run", "stop", "resume")),
}


class Operation(NamedTuple):
    """One method at one address."""

    name: str
    path: str
    method: str
    view: Any


def operations() -> Iterator[Operation]:
    """Every operation of the API that is a view of ours."""
    for pattern in urlpatterns:
        view = getattr(pattern.callback, "cls", None)
        if view is None:  # what packs a list's answer lies around its view
            view = getattr(getattr(pattern.callback, "__wrapped__", None), "cls", None)
        if isinstance(pattern.pattern, RegexPattern) or not (view and issubclass(view, View)):
            continue
        for method in ("GET", "POST"):
            if hasattr(view, method.lower()):
                yield Operation(
                    f"{method} {_template(str(pattern.pattern))}", _path(pattern), method, view
                )


def _template(route: str) -> str:
    return re.sub(r"<\w+:(\w+)>", r"{\1}", route)


def _posted(command: type[Command]) -> str:
    return f"POST {_template(address_of(command))}"


def _path(pattern: URLPattern) -> str:
    kinds = {"uuid": str(uuid4()), "int": "1", "str": "NORTH", "table": "csv"}
    return re.sub(r"<(\w+):\w+>", lambda found: kinds[found[1]], str(pattern.pattern))


ALL = {one.name: one for one in operations()}


def sent(api: Api, token: str, one: Operation) -> Answer:
    """A request with a program's token, and nothing in it."""
    headers = {"Authorization": f"Token {token}", "Idempotency-Key": str(uuid4())}
    return api.send(one.method, one.path, headers=headers, anonymous=True)


def test_the_operations_are_all_there() -> None:
    """A list of none would prove nothing."""
    assert len(ALL) > 100
    assert set(ALL) >= OPEN | BY_WHAT_IS_SENT | {f"GET {name}" for name in LISTS}
    assert {_posted(one) for one in OFFERED} <= set(ALL)


def test_each_operation_says_which_scopes_it_takes() -> None:
    """One that says nothing takes no token of a program: that is for a few of them."""
    silent = {
        name
        for name, one in ALL.items()
        if (one.view.reading if one.method == "GET" else one.view.asking) is None
    }
    in_person = {_posted(one) for one in OFFERED if takes_sign_in(one)}
    assert silent - in_person == {
        *("POST me/pin", "POST me/password", "POST me/preferences", "POST me/sign-out-everywhere"),
        *("POST sign-in", "POST sign-out"),
    }
    assert {
        name
        for name, one in ALL.items()
        if (one.view.reading if one.method == "GET" else one.view.asking) == BY_COMMAND
    } == BY_WHAT_IS_SENT


@pytest.mark.parametrize("name", sorted(set(ALL) - OPEN - BY_WHAT_IS_SENT))
def test_an_operation_is_shut_to_a_token_without_its_scope(api: Api, yard: Yard, name: str) -> None:
    """403 with the scope that is missing, before anything is looked up: there is no such unit."""
    one = ALL[name]
    needed = one.view.reading if one.method == "GET" else one.view.asking
    if needed is None:
        answer = sent(api, issued(yard.mira, EVERY), one)
        assert (answer.status, answer.code) == (403, "sign-in-needed")
        return
    for missing in needed:
        answer = sent(api, issued(yard.mira, EVERY - {missing}), one)
        assert (answer.status, answer.code) == (403, "scope-missing")
        assert answer.body["scope"] == missing
    opened = sent(api, issued(yard.mira, needed), one)
    assert opened.status not in {401, 500}
    assert opened.body is None or "scope" not in opened.body


@pytest.mark.parametrize("command", OFFERED, ids=[one.tag() for one in OFFERED])
def test_a_command_is_carried_out_by_no_token_without_its_scope(
    yard: Yard, command: type[Command]
) -> None:
    """Wherever it is sent from: `perform` asks, so that batches and imports are held to it, too."""
    unit = yard.started()
    target, given = target_of(command.tag(), yard, unit), example(command.tag(), yard)
    for missing in sorted(scopes_of(command)):
        yard.mira.access = _access(yard, EVERY - {missing})
        before = everything()
        refusal = refusal_of(given, yard.mira, target)
        assert refusal is not None
        expected = "sign-in-needed" if takes_sign_in(command) else "scope-missing"
        assert refusal.code == expected
        assert everything() == before


def _access(yard: Yard, scopes: frozenset[Scope]) -> Access:
    """What a new token of Mira's lets her in for."""
    yard.mira.access = FULL
    person = bearer(issued(yard.mira, scopes))
    assert isinstance(person, Person)
    return person.access


def test_a_list_is_read_with_the_scope_of_its_named_read(api: Api, yard: Yard) -> None:
    """Buyers are personal data, and so are addresses that keep checkpoints; units are not."""
    read = {"Authorization": f"Token {issued(yard.mira, [Scope.READ])}"}
    for name, listing in LISTS.items():
        answer = api.send("GET", name, headers=read, anonymous=True)
        personal = Scope.PERSONAL in scopes_of_read(listing.read)
        theirs = may_read(listing.read, frozenset({Role.SERVICE_MANAGER}))
        allowed = 200 if theirs and not personal else 403
        assert answer.status == allowed
        export = api.send("GET", f"{name}?export=csv", headers=read, anonymous=True)
        assert export.status == allowed
    assert scopes_of_read("buyer.view") == {Scope.READ, Scope.PERSONAL}


def test_a_list_of_units_names_no_buyer_to_a_token_that_reads_no_personal_data(
    api: Api, yard: Yard
) -> None:
    """The person may see who bought it; the program was let in for less."""
    unit = yard.started()
    yard.assign(unit)
    narrow = {"Authorization": f"Token {issued(yard.mira, [Scope.READ])}"}
    wide = {"Authorization": f"Token {issued(yard.mira, [Scope.READ, Scope.PERSONAL])}"}
    search = "units?q=Invented"
    assert api.send("GET", search, headers=wide, anonymous=True).body["items"]
    assert api.send("GET", search, headers=narrow, anonymous=True).body["items"] == []


def test_a_document_is_asked_for_with_the_scope_of_whoever_may_ask(api: Api, yard: Yard) -> None:
    """Labels are service work; an audit bundle is the office's."""
    unit = yard.started()
    token = issued(yard.mira, [Scope.READ])
    before = everything()
    for kind in KINDS:
        for address in (f"units/{unit}/documents", "documents"):
            answer = api.send(
                "POST",
                address,
                headers={"Authorization": f"Token {token}", "Idempotency-Key": str(uuid4())},
                body={"kind": kind, "parameters": {}},
                anonymous=True,
            )
            assert answer.code in {"scope-missing", "unit-missing", "unit-unwanted"}
    assert everything() == before
