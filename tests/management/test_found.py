"""Founding a dealership at the console, and the way back in for whoever is locked out."""

from collections.abc import Iterator
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from django.core.management import call_command
from django.core.management.base import CommandError

from prep.actions.perform import perform
from prep.models import Event, Invitation, Person, Site
from prep.queries.people import sites_of
from prep.record.person.commands.access import SuspendPerson
from prep.record.roles import Role
from prep.record.site.commands import GiveRole
from prep.verify.run import verify
from tests.actions.kept import texts
from tests.actions.people.cast import LONG, join
from tests.cast import Yard
from tests.stored_files import own_folders

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _own_folders(settings: Any, tmp_path: Path) -> None:
    own_folders(settings, tmp_path)


def typing(monkeypatch: pytest.MonkeyPatch, *typed: str) -> Iterator[str]:
    """What somebody types where a secret is asked for, in order."""
    answers = iter(typed)
    monkeypatch.setattr("prep.management.passwords.getpass", lambda prompt: next(answers))
    return answers


def found(**more: str) -> str:
    """Found a yard; what is printed."""
    out = StringIO()
    options = {"dealer": "Invented Implements", "time_zone": "America/Chicago", **more}
    call_command(
        "found", "west", "West yard", administrator="wil", printed_name="Wil", stdout=out, **options
    )
    return out.getvalue()


def test_the_first_person_can_start_work_at_once(db: None, monkeypatch: pytest.MonkeyPatch) -> None:
    """Administrator, service manager and technician; what to do next is printed."""
    rest = typing(monkeypatch, LONG, LONG, "8317", "8317")
    printed = found()
    wil = Person.objects.get(username="wil")
    first = frozenset({Role.ADMINISTRATOR, Role.SERVICE_MANAGER, Role.TECHNICIAN})
    assert sites_of(wil) == {"west": first}
    assert wil.check_password(LONG)
    assert "sign in as wil" in printed
    assert "http://127.0.0.1:8000" in printed
    assert next(rest, None) is None
    assert texts(verify()) == []


def test_what_is_wrong_with_a_secret_is_said_and_asked_again(
    db: None, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Too short; not the same twice; a run of digits."""
    typing(monkeypatch, "short", LONG, "otherwise", LONG, LONG, "1234", "8317", "8317")
    found()
    said = capsys.readouterr().out
    assert "at least 10 characters" in said
    assert "The two are not the same." in said
    assert "PIN" in said


def test_a_wrong_time_zone_is_told_before_anything_is_asked(
    db: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Nobody is made, and nothing was typed in vain."""
    typing(monkeypatch)
    with pytest.raises(CommandError, match="America/Chicgo"):
        found(time_zone="America/Chicgo")
    assert not Person.objects.exists()
    assert not Site.objects.exists()


def invited(*arguments: str, **options: str) -> str:
    """What `manage.py invite` prints."""
    out = StringIO()
    call_command("invite", *arguments, stdout=out, **options)
    return out.getvalue()


def test_an_administrator_who_forgot_the_password_is_let_in_by_the_console(yard: Yard) -> None:
    """By a link, recorded in the name of the console."""
    printed = invited(yard.otto.username)
    code = printed.partition("the code ")[2][:11]
    assert join(code).pk == yard.otto.pk
    made = Event.objects.get(kind="person.invitation_made")
    assert (made.actor, made.actor_name) == ("console", "Console of the service")
    assert texts(verify()) == []


def test_where_the_last_administrator_is_gone_the_console_invites_another(yard: Yard) -> None:
    """A new person at the yard; without one, what to say is told."""
    with pytest.raises(CommandError, match="--yard"):
        invited("nia")
    with pytest.raises(CommandError, match="north"):
        invited("nia", yard="nowhere")
    printed = invited("nia", yard="north", printed_name="Nia Invented")
    nia = join(printed.partition("/join/")[2].split()[0])
    assert sites_of(nia) == {"north": frozenset({Role.ADMINISTRATOR})}


def test_a_shut_account_is_opened_by_the_console_with_a_reason_only(yard: Yard) -> None:
    """The reason stands in the log."""
    giving = GiveRole(person=yard.mira.username, role=Role.ADMINISTRATOR)
    perform(giving, actor=yard.otto, target=yard.site)
    suspending = SuspendPerson(reason="Quarrel (invented)")
    perform(suspending, actor=yard.mira, target=yard.otto.pk)
    with pytest.raises(CommandError, match="--reason"):
        invited(yard.otto.username)
    assert not Invitation.objects.exists()
    invited(yard.otto.username, reason="Owner's decision (invented)")
    assert Person.objects.get(pk=yard.otto.pk).is_active
    body = Event.objects.get(kind="person.restored").body
    assert "Owner's decision (invented)" in body


def test_what_is_served_on_another_port_is_reached_there(
    monkeypatch: pytest.MonkeyPatch, settings: Any
) -> None:
    """Links of invitations lead to the address that is printed, unless one is set."""
    settings.SERVICE = False  # the embedded server, whichever profile the tests run in
    served: list[tuple[str, int]] = []
    monkeypatch.setattr(
        "prep.management.commands.serve.serve", lambda host, port: served.append((host, port))
    )
    monkeypatch.setattr("prep.management.commands.serve.call_command", lambda *_, **__: None)
    monkeypatch.delenv("YARDPROOF_ADDRESS", raising=False)
    out = StringIO()
    call_command("serve", host="0.0.0.0", port=8123, stdout=out)
    assert settings.ADDRESS == "http://127.0.0.1:8123"
    assert "Open http://127.0.0.1:8123 in a browser." in out.getvalue()
    monkeypatch.setenv("YARDPROOF_ADDRESS", "https://yard.example")
    settings.ADDRESS = "https://yard.example"
    call_command("serve", port=8124, stdout=out)
    assert settings.ADDRESS == "https://yard.example"
    assert served == [("0.0.0.0", 8123), ("127.0.0.1", 8124)]
