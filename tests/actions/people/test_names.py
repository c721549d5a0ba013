"""A misspelled name is corrected; the record keeps both, what was signed keeps the former one."""

from pathlib import Path
from typing import Any

import pytest

from prep.actions.perform import perform
from prep.models import Event, Person
from prep.record.person.commands.names import RenamePerson
from prep.record.refusal import Refusal
from prep.verify.run import verify
from tests.actions.kept import texts
from tests.actions.people.cast import south, works_in_the_south_too
from tests.cast import PASSWORD, Yard
from tests.pages.visitor import post, signed_in
from tests.programs import program
from tests.refusals import refused
from tests.stored_files import own_folders

pytestmark = pytest.mark.django_db
WRONG = "One letter was wrong (invented)"


@pytest.fixture(autouse=True)
def _own_folders(settings: Any, tmp_path: Path) -> None:
    own_folders(settings, tmp_path)


def renamed(name: str, username: str) -> RenamePerson:
    """A correction of both names."""
    return RenamePerson(name=name, username=username, reason=WRONG)


def test_a_corrected_name_counts_from_then_on_and_what_was_signed_keeps_the_former(
    yard: Yard,
) -> None:
    """The person signs in with the new user name, with the old password, and verifies."""
    unit = yard.started()
    yard.block_deck(unit)
    client = signed_in(yard.otto)
    form: dict[str, Any] = {"name": " Adah Invented ", "username": "adah", "reason": WRONG}
    post(client, f"/people/{yard.ada.pk}/do/person.rename/", **form)
    ada = Person.objects.get(pk=yard.ada.pk)
    assert (ada.username, str(ada)) == ("adah", "Adah Invented")
    page = client.get(f"/people/{ada.pk}/").content.decode()
    assert f"Name corrected to Adah Invented, user name adah: {WRONG}" in page
    assert not client.login(username=yard.ada.username, password=PASSWORD)
    assert client.login(username="adah", password=PASSWORD)
    assert Event.objects.get(kind="step.signed").actor_name == "Ada Invented"
    assert texts(verify()) == []
    Person.objects.filter(pk=ada.pk).update(printed_name="Ada Invented")
    assert any("Ada" in text for text in texts(verify()))


def test_no_two_people_have_one_user_name_however_it_is_spelled(yard: Yard) -> None:
    """And what changes nothing is no correction; one's own name in capitals is one."""
    taken = renamed("Ada Invented", yard.ben.username.upper())
    no = refused("name-taken", perform, taken, actor=yard.otto, target=yard.ada.pk)
    assert no.field == "username"
    same = renamed("Ada Invented", yard.ada.username)
    refused("nothing-changed", perform, same, actor=yard.otto, target=yard.ada.pk)
    perform(renamed("Ada Invented", "ADA"), actor=yard.otto, target=yard.ada.pk)
    assert Person.objects.get(pk=yard.ada.pk).username == "ADA"


def test_only_who_administers_every_yard_of_a_person_renames_them(yard: Yard) -> None:
    """Neither the person, nor a manager, nor an administrator of one yard of two."""
    command = renamed("Somebody Else (invented)", "somebody")
    for who in (yard.ada, yard.mira, yard.rhea):
        refused("not-allowed", perform, command, actor=who, target=yard.ada.pk)
    south(yard)
    works_in_the_south_too(yard, yard.ada)
    with pytest.raises(Refusal, match="not-allowed-everywhere"):
        perform(command, actor=yard.otto, target=yard.ada.pk)
    assert str(Person.objects.get(pk=yard.ada.pk)) == "Ada Invented"


def test_a_program_stays_told_apart_from_a_person(yard: Yard) -> None:
    """Its name ends in “(system)” whatever is typed."""
    system = program(yard)
    perform(renamed("Parts desk", "parts-desk"), actor=yard.otto, target=system.pk)
    assert str(Person.objects.get(pk=system.pk)) == "Parts desk (system)"
    page = signed_in(yard.otto).get(f"/people/{system.pk}/").content.decode()
    assert "Account of a program made: " in page
    assert texts(verify()) == []
