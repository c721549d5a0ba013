"""Tokens of programs and of sign-ins: whose they are, for how long, where, and how they end."""

from datetime import timedelta
from uuid import UUID, uuid4

import pytest
from django.test import Client
from django.utils import timezone

from prep.actions import people, sites
from prep.actions.accounts import tokens as held
from prep.actions.accounts.token_text import LENGTH, PREFIX, digest, new_text, well_formed
from prep.actions.perform import perform
from prep.models import Event, Person, Token
from prep.record.roles import Role
from prep.record.site.commands import GiveRole, TakeRole
from prep.record.site.yard_commands import OpenSite
from prep.record.token.commands import RevokeToken
from prep.record.token.scopes import Scope
from prep.record.unit.commands.flags import RaiseFlag
from reports import queue
from reports.models import DocumentRequest
from tests.api.client import Answer, Api
from tests.api.test_batches import FRONT, batch, sent, statuses
from tests.api.test_imports import send as send_file
from tests.cast import PASSWORD, PIN, Yard, days_ago
from tests.programs import PROGRAM, issued, issued_to_program, program
from tests.refusals import everything, refused
from tests.reports.imports.sent import units as table_of_units


def by(api: Api, token: str, method: str, path: str, **more: object) -> Answer:
    """A request with this token."""
    headers = {"Authorization": f"Token {token}", "Idempotency-Key": str(uuid4())}
    return api.send(method, path, headers=headers, anonymous=True, **more)  # type: ignore[arg-type]


def row_of(token: str) -> Token:
    """What is kept of a token."""
    return Token.objects.get(digest=digest(token))


def revoke(token: str, actor: Person) -> None:
    """Revoke a token."""
    perform(RevokeToken(), actor=actor, target=row_of(token).pk)


def second_yard(yard: Yard, *people_there: Person) -> str:
    """A second yard where some of the people work as technicians."""
    opened = OpenSite(
        site="south", name="South yard", time_zone="America/Chicago", dealer="Invented"
    )
    sites.open_site(opened, founder=yard.otto)
    for one in people_there:
        perform(
            GiveRole(person=one.username, role=Role.TECHNICIAN), actor=yard.otto, target="south"
        )
    return "south"


def test_a_token_is_issued_once_and_shown_once(api: Api, yard: Yard) -> None:
    """Sent again the command tells of the same token, without its text: nobody has it any more."""
    key = uuid4()
    body = {"name": "Tablet app", "scopes": ["work", "read", "read"], "days": 30, "site": "north"}
    first = api.post("tokens/issue", body, key=key)
    assert first.status == 201
    text, (event,) = first.body["shown_once"], first.body["events"]
    assert (len(text), text[: len(PREFIX)]) == (LENGTH, "yardproof_")
    assert event["scopes"] == ["read", "work"]
    again = api.post("tokens/issue", body, key=key)
    assert (again.status, again.body["shown_once"]) == (200, "")
    assert again.body["id"] == first.body["id"]
    [row] = Token.objects.filter(signed_in=False)
    assert text not in str(vars(row)) + "".join(Event.objects.values_list("body", flat=True))
    lasts = row.expires - row.issued
    assert lasts == timedelta(days=30)
    assert by(api, text, "GET", "me").body["username"] == yard.ada.username


@pytest.mark.parametrize("days", [0, -1, 366, 100_000])
def test_a_token_is_good_for_a_day_to_a_year(api: Api, days: int) -> None:
    """One that never ends is one that nobody misses when it is stolen."""
    body = {"name": "Tablet app", "scopes": ["read"], "days": days}
    assert api.post("tokens/issue", body).status == 422
    assert not Token.objects.filter(signed_in=False).exists()


@pytest.mark.parametrize("scopes", [[], ["everything"], ["read", ""]])
def test_a_token_needs_scopes_there_are(api: Api, scopes: list[str]) -> None:
    """Each that is unknown is refused with those there are."""
    answer = api.post("tokens/issue", {"name": "App", "scopes": scopes, "days": 1})
    assert answer.status == 422


def test_a_token_is_for_a_yard_where_its_bearer_works(api: Api, yard: Yard) -> None:
    """Another yard is no yard; nothing is issued."""
    second_yard(yard)
    body = {"name": "App", "scopes": ["read"], "days": 1, "site": "south"}
    answer = api.post("tokens/issue", body)
    assert (answer.status, answer.code) == (404, "no-such-site")


def test_a_token_of_one_yard_finds_nothing_of_another(api: Api, yard: Yard) -> None:
    """Units, lists, batches, imports and documents: what is elsewhere does not exist for it."""
    second_yard(yard, yard.ada)
    unit = yard.started()
    narrow = issued(yard.ada, Scope, site="south")
    wide = issued(yard.ada, Scope)
    assert by(api, wide, "GET", f"units/{unit}").status == 200
    before = everything()
    assert by(api, narrow, "GET", f"units/{unit}").code == "no-such-unit"
    assert by(api, narrow, "GET", "units").body["items"] == []
    assert [one["code"] for one in by(api, narrow, "GET", "sites").body["items"]] == ["south"]
    assert [one["site"] for one in by(api, narrow, "GET", "me").body["sites"]] == ["south"]
    held_up = by(api, narrow, "POST", f"units/{unit}/hold", body={"reason": "parts"})
    assert held_up.code == "no-such-unit"
    flag = sent(unit, {"command": "flag.raise", "text": "Bent"})
    assert statuses(by(api, narrow, "POST", "commands", body=batch(flag))) == ["no-such-unit"]
    labels = {"kind": "labels", "parameters": {"size": "a4-8", "units": [str(unit)]}}
    assert by(api, narrow, "POST", "documents", body=labels).status in {404, 422}
    assert by(api, narrow, "POST", f"units/{unit}/documents", body=labels).code == "no-such-unit"
    received = {"site": "north", "maker": "Larkfield", "serial": "TC9"}
    assert by(api, narrow, "POST", "units/receive", body=received).code == "no-such-site"
    assert everything()[1:] == before[1:]
    assert not DocumentRequest.objects.exists()


def test_a_program_of_one_yard_sees_only_the_documents_it_asked_for_itself(
    api: Api, yard: Yard
) -> None:
    """What its bearer asked for may be of another yard."""
    second_yard(yard, yard.ada)
    body = {"kind": "labels", "parameters": {"size": "a4-8", "units": [str(yard.started())]}}
    asked = api.post("documents", body).body["id"]
    narrow, wide = issued(yard.ada, Scope, site="south"), issued(yard.ada, Scope)
    assert by(api, wide, "GET", f"documents/{asked}").status == 200
    assert by(api, narrow, "GET", f"documents/{asked}").code == "no-such-document"
    assert by(api, narrow, "GET", "documents").body["items"] == []


def test_reading_does_not_let_write_one_by_one_or_in_a_batch_or_by_a_file(
    api: Api, yard: Yard
) -> None:
    """Nothing changed; the batch keeps what was typed, as it keeps whatever is refused."""
    unit = yard.started()
    token = issued(yard.otto, [Scope.READ])
    before = everything()
    alone = by(api, token, "POST", f"units/{unit}/hold", body={"reason": "parts"})
    assert (alone.status, alone.code) == (403, "scope-missing")
    assert alone.body["detail"] == (
        "This token may not “Do service work”. Use one that may, or have one issued with that "
        "scope."
    )
    assert everything() == before
    together = by(api, token, "POST", "commands", body=batch(sent(unit, FRONT)))
    assert statuses(together) == ["scope-missing"]
    file = api.send(
        "POST",
        "imports?kind=units",
        headers={"Authorization": f"Token {token}", "Idempotency-Key": str(uuid4())},
        content=table_of_units("00017"),
        content_type="text/csv",
        anonymous=True,
    )
    assert (file.status, file.code) == (403, "scope-missing")
    assert everything()[1:] == before[1:]


def test_an_import_is_run_with_no_more_than_its_token_lets(api: Api, yard: Yard) -> None:
    """The worker has only the row of the import; revoked meanwhile, each row is refused."""
    token = issued(yard.ada, [Scope.READ, Scope.PERSONAL, Scope.WORK])
    api.tokens[yard.ada.pk] = token
    job = send_file(
        api, table_of_units("00017", "00018"), "kind=units&dry_run=false", actor=yard.ada
    )
    assert job.status == 201
    other = issued(yard.ada, [Scope.READ])
    stop = by(api, other, "POST", f"imports/{job.body['id']}/stop")
    assert (stop.status, stop.code) == (403, "scope-missing")
    revoke(token, yard.ada)
    queue.run_due()
    api.tokens.clear()
    problems = api.get(f"imports/{job.body['id']}/problems").body["items"]
    assert {one["code"] for one in problems} == {"token-ended"}
    assert everything()[1] == []


def test_a_token_signs_with_the_scope_and_the_pin_and_a_program_never(api: Api, yard: Yard) -> None:
    """The scope alone signs nothing: each signature takes the PIN of whoever gives it."""
    unit = yard.started()
    flag = perform(RaiseFlag(text="Bent"), actor=yard.ada, target=unit).events[0].flag
    body = {"flag": str(flag), "reason": "Agreed (invented).", "pin": PIN}
    path = f"units/{unit}/flag/concede"
    without = by(api, issued(yard.mira, [Scope.READ, Scope.MANAGE]), "POST", path, body=body)
    assert (without.status, without.body["scope"]) == (403, "sign")
    may = issued(yard.mira, [Scope.MANAGE, Scope.SIGN])
    wrong = by(api, may, "POST", path, body={**body, "pin": "0000"})
    assert (wrong.status, wrong.code) == (403, "pin-wrong")
    system = issued_to_program(yard, [Scope.MANAGE], Role.SERVICE_MANAGER)
    never = by(api, system, "POST", path, body=body)
    assert (never.status, never.code) == (403, "scope-missing")
    Token.objects.filter(person__username=PROGRAM).update(scopes=["manage", "sign"])
    forged = by(api, system, "POST", path, body=body)
    assert (forged.status, forged.code) == (401, "token-unknown")
    assert by(api, may, "POST", path, body=body).status == 201


def test_a_program_has_its_name_on_what_it_does_and_no_other_way_in(api: Api, yard: Yard) -> None:
    """Neither by password, nor by page, nor as the author of an entry without its role."""
    unit = yard.started()
    token = issued_to_program(yard, [Scope.READ, Scope.WORK])
    noted = by(api, token, "POST", f"units/{unit}/flag/raise", body={"text": "Bent"})
    assert noted.status == 201
    event = Event.objects.get(kind="flag.raised")
    assert (event.actor_name, event.actor) == ("Parts counter (system)", str(program(yard).pk))
    for password in ("", "!", PASSWORD, program(yard).password):
        answer = api.send(
            "POST",
            "sign-in",
            headers={},
            body={"username": PROGRAM, "password": password},
            anonymous=True,
        )
        assert (answer.status, answer.code) == (401, "sign-in-wrong")
    assert not Client().login(username=PROGRAM, password=program(yard).password)


def test_a_program_belongs_to_one_yard_and_administers_none(yard: Yard) -> None:
    """An administrator of another yard cannot take it over, nor it a yard."""
    system = program(yard)
    second_yard(yard)
    for role, site, code in (
        (Role.SALES, "south", "system-of-another-yard"),
        (Role.ADMINISTRATOR, yard.site, "system-not-administrator"),
    ):
        given = GiveRole(person=system.username, role=role)
        refused(code, perform, given, actor=yard.otto, target=site)


def test_a_token_issues_no_token_and_revokes_none(api: Api, yard: Yard) -> None:
    """Or a stolen one would be there forever."""
    token = issued(yard.otto, Scope)
    body = {"name": "App", "scopes": ["read"], "days": 365}
    for path in ("tokens/issue", f"tokens/{row_of(token).pk}/revoke"):
        answer = by(api, token, "POST", path, body=body if path.endswith("issue") else {})
        assert (answer.status, answer.code) == (403, "sign-in-needed")


def test_what_is_revoked_is_worthless_at_once(api: Api, yard: Yard) -> None:
    """By its bearer, or by an administrator of the yard; by nobody else, and once."""
    own, other = issued(yard.ada, [Scope.READ]), issued(yard.ada, [Scope.READ])
    refused("not-allowed", revoke, own, yard.mira)
    answer = api.post(f"tokens/{row_of(own).pk}/revoke")
    assert answer.status == 201
    assert by(api, own, "GET", "me").code == "token-ended"
    revoke(other, yard.otto)
    assert by(api, other, "GET", "me").code == "token-ended"
    assert api.post(f"tokens/{row_of(own).pk}/revoke").code == "token-revoked-already"


def test_a_token_revoked_while_a_batch_runs_does_nothing_more(
    api: Api, yard: Yard, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The request was let in; each command asks again, within its own transaction."""
    unit = yard.started()
    token = issued(yard.ada, [Scope.WORK])
    first, second = (sent(unit, {"command": "flag.raise", "text": text}) for text in ("A", "B"))

    def then_revoked(*args: object, **kwargs: object) -> object:
        outcome = perform(*args, **kwargs)  # type: ignore[arg-type]  # as they came
        revoke(token, yard.otto)
        monkeypatch.undo()
        return outcome

    monkeypatch.setattr("prep.actions.batches.carry_out.perform", then_revoked)
    answer = by(api, token, "POST", "commands", body=batch(first, second))
    assert statuses(answer) == ["done", "token-ended"]


def test_whoever_is_suspended_or_has_left_the_yard_has_no_token(api: Api, yard: Yard) -> None:
    """Also where they still work at another yard: a token of this one is dead."""
    second_yard(yard, yard.ada)
    token = issued(yard.ada, [Scope.READ], site=yard.site)
    everywhere = issued(yard.ada, [Scope.READ])
    taken = TakeRole(person=yard.ada.username, role=Role.TECHNICIAN)
    perform(taken, actor=yard.otto, target=yard.site)
    assert by(api, token, "GET", "models/TC-12").code == "token-ended"
    assert by(api, everywhere, "GET", "units").status == 200
    perform(taken, actor=yard.otto, target="south")
    assert by(api, everywhere, "GET", "models/TC-12").code == "token-ended"
    signed_in = held.sign_in(yard.ben).text
    Person.objects.filter(pk=yard.ben.pk).update(is_active=False)
    assert by(api, signed_in, "GET", "me").code == "token-ended"


def test_a_token_ends_to_the_moment(api: Api, yard: Yard) -> None:
    """The last moment is the one before it."""
    with days_ago(29.9999):
        young = issued(yard.ada, [Scope.READ])
    with days_ago(30):
        old = issued(yard.ada, [Scope.READ])
    assert by(api, young, "GET", "me").status == 200
    assert by(api, old, "GET", "me").code == "token-expired"


def test_a_sign_in_lasts_a_working_day_and_ends_with_its_password(api: Api, yard: Yard) -> None:
    """With all that the person may do; signing out ends it at once."""
    body = {"username": yard.ada.username, "password": PASSWORD}
    answer = api.send("POST", "sign-in", headers={}, body=body, anonymous=True)
    token = answer.body["token"]
    row = row_of(token)
    assert row.expires - row.issued == timedelta(hours=12)
    assert (
        by(
            api,
            token,
            "POST",
            "tokens/issue",
            body={
                "name": "App",
                "scopes": ["read"],
                "days": 1,
            },
        ).status
        == 201
    )
    people.set_password(yard.ada, "another invented long word")
    assert by(api, token, "GET", "me").code == "token-unknown"
    again = held.sign_in(Person.objects.get(pk=yard.ada.pk)).text
    assert by(api, again, "POST", "sign-out").status == 204
    assert by(api, again, "GET", "me").code == "token-unknown"
    held.sign_out_everywhere(yard.ada)
    assert not Token.objects.filter(person=yard.ada, signed_in=True).exists()


def test_use_is_noted_at_most_once_an_hour(api: Api, yard: Yard) -> None:
    """A read would otherwise be a write."""
    token = issued(yard.ada, [Scope.READ])
    assert row_of(token).used is None
    by(api, token, "GET", "me")
    first = row_of(token).used
    assert first is not None
    by(api, token, "GET", "me")
    assert row_of(token).used == first
    Token.objects.filter(pk=row_of(token).pk).update(used=first - timedelta(hours=1))
    by(api, token, "GET", "me")
    used = row_of(token).used
    assert used is not None
    assert used > first - timedelta(minutes=1)


def test_one_character_wrong_is_told_from_a_token_nobody_has(api: Api, yard: Yard) -> None:
    """Without a query: guessing costs the service nothing."""
    token = issued(yard.ada, [Scope.READ])
    for place in range(LENGTH):
        wrong = token[:place] + ("b" if token[place] == "a" else "a") + token[place + 1 :]
        assert not well_formed(wrong)
    assert by(api, token[:-1], "GET", "me").code == "token-mistyped"
    assert by(api, new_text(), "GET", "me").code == "token-unknown"


@pytest.mark.parametrize(
    "header",
    [
        *(
            "",
            " ",
            "Token",
            "Token ",
            "Token  ",
            "Bearer",
            "Basic YTpi",
            "Token a b",
            "Token a, Token b",
        ),
        *(
            "Token \u00e9",
            "Token \xff",
            "\u2028",
            "Token " + "a" * 9000,
            "TokenToken a",
            "Token\ta",
        ),
    ],
)
def test_a_header_that_cannot_be_read_is_401_in_words(api: Api, header: str) -> None:
    """Never 500, whatever bytes it has."""
    answer = Client(raise_request_exception=False).get("/api/v1/me", HTTP_AUTHORIZATION=header)
    assert answer.status_code == 401
    assert answer.json()["detail"]
    assert answer["WWW-Authenticate"] == "Token"


def test_a_token_in_the_address_is_no_token(api: Api, yard: Yard) -> None:
    """Addresses are kept in histories and in the logs of proxies."""
    token = issued(yard.ada, [Scope.READ])
    for name in ("token", "access_token", "Authorization"):
        for path in ("me", "units"):
            answer = api.send("GET", f"{path}?{name}={token}", headers={}, anonymous=True)
            assert (answer.status, answer.code) == (401, "not-authenticated")
            assert token not in answer.content.decode()


def test_the_list_has_ones_own_and_an_administrators_those_of_the_yard(
    api: Api, yard: Yard
) -> None:
    """Sign-ins of others are nobody's business; no row has the token."""
    issued(yard.ada, [Scope.READ], site=yard.site)
    everywhere = issued(yard.ada, [Scope.READ])
    revoke(everywhere, yard.ada)
    own = api.get("tokens").body["items"]
    assert {(one["name"], one["state"]) for one in own if not one["signed_in"]} == {
        ("Invented app", "good"),
        ("Invented app", "revoked"),
    }
    assert sum(one["signed_in"] for one in own) == 1
    assert [one["person"] for one in api.get("tokens", yard.mira).body["items"]] == ["mira-north"]
    seen = api.get("tokens", yard.otto).body["items"]
    assert sorted(one["person"] for one in seen) == ["ada-north", "ada-north", "otto-north"]
    assert everywhere not in api.get("tokens").content.decode()
    assert api.get("tokens?state=revoked").body["items"][0]["state"] == "revoked"


def test_an_administrator_of_another_yard_neither_sees_nor_revokes_nor_issues(
    api: Api, yard: Yard
) -> None:
    """Everything of this yard's programs is this yard's."""
    system = program(yard)
    token = issued_to_program(yard, [Scope.READ])
    second_yard(yard)
    south = GiveRole(person=yard.outsider.username, role=Role.ADMINISTRATOR)
    perform(south, actor=yard.otto, target="south")
    refused("no-such-token", revoke, token, yard.outsider)
    assert [one["person"] for one in api.get("tokens", yard.outsider).body["items"]] == [
        yard.outsider.username
    ]
    body = {"system": system.username, "name": "Mine", "scopes": ["read"], "days": 1}
    assert api.post("tokens/issue-system", body, yard.outsider).code == "no-such-system"
    sign = {**body, "scopes": ["read", "sign"]}
    assert api.post("tokens/issue-system", sign, yard.otto).code == "system-cannot-sign"


def test_an_unknown_or_foreign_id_is_no_token(api: Api, yard: Yard) -> None:
    """A sign-in is not revoked as a token is: it is signed out."""
    signed_in = row_of(api.token(yard.ada)).pk
    for key in (uuid4(), signed_in, UUID(int=0)):
        assert api.post(f"tokens/{key}/revoke").code == "no-such-token"
    assert timezone.now() < Token.objects.get(pk=signed_in).expires
