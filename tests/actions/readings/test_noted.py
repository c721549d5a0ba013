"""Whoever looks at personal data is noted, once a request, and before anything is shown."""

from typing import Any

import pytest
from django.db import DatabaseError, connection, transaction

from prep.actions.accounts.tokens import bearer
from prep.actions.readings import lists as list_reads
from prep.actions.readings import personal as personal_reads
from prep.actions.readings.lists import read_all, read_page
from prep.actions.readings.personal import How, Shown, show
from prep.models import Person, PersonalRead, UnchangeableError
from prep.queries.listing.asker import asker_of
from prep.queries.listing.asking import asking
from prep.queries.lists.personal.buyers import BUYERS
from prep.queries.lists.units import UNITS
from prep.queries.people import roles_at
from prep.record.buyer.commands import AddBuyer
from prep.record.personal import PERSONAL, Personal
from prep.record.reads import READS
from prep.record.refusal import Refusal
from prep.record.roles import Role
from prep.record.token.scopes import Scope
from tests.cast import Yard, add_buyer
from tests.programs import issued


def noted() -> list[tuple[Any, ...]]:
    """What is noted, the oldest first."""
    columns = ("reader_name", "sort", "how", "rows", "asked", "sites")
    return list(PersonalRead.objects.order_by("pk").values_list(*columns))


def look(yard: Yard, who: str) -> None:
    """Somebody of the yard looks at a buyer by a page."""
    person = getattr(yard, who)
    shown = Shown(Personal.BUYER, How.PAGE, [yard.site], "b-1")
    show(person, frozenset(roles_at(person, yard.site)), [Personal.BUYER], shown)


def test_a_page_of_a_list_and_its_export_are_one_row_each(yard: Yard) -> None:
    """With how many rows and which filters; what was typed to find somebody is not kept."""
    for number in range(3):
        add_buyer(AddBuyer(site=yard.site, name=f"Fen {number} (invented)"), actor=yard.sol)
    asker = asker_of(yard.sol, BUYERS)
    read_page(asking(BUYERS, {}), asker, limit=2)
    filtered = asking(BUYERS, {"site": yard.site, "name": "Fen"}, words="Fen 1")
    assert len(list(read_all(filtered, asker))) == 1
    who, sites = "Sol Invented", f" {yard.site} "
    assert noted() == [
        (who, "buyers", "list", 2, {}, sites),
        (who, "buyers", "export", 1, {"site": yard.site, "name": "…", "q": 2}, sites),
    ]


def test_a_buyers_name_finds_units_for_those_alone_who_may_see_buyers(yard: Yard) -> None:
    """Sales finds the unit by it; a technician finds nothing, and so learns nothing."""
    unit = yard.started()
    yard.assign(unit, buyer=yard.buyer())
    asked = asking(UNITS, {}, words="Fen Farm")
    for who in (yard.sol, yard.mira, yard.rhea, yard.otto):
        assert [row["id"] for row in read_page(asked, asker_of(who, UNITS)).rows] == [unit]
    assert read_page(asked, asker_of(yard.ada, UNITS)).rows == []
    work = bearer(issued(yard.sol, [Scope.READ]))
    assert isinstance(work, Person)
    assert read_page(asked, asker_of(work, UNITS)).rows == []


def test_what_is_not_personal_is_not_noted(yard: Yard) -> None:
    """An empty page, or one of ids alone."""
    asker = asker_of(yard.sol, BUYERS)
    read_page(asking(BUYERS, {}), asker)
    yard.buyer()
    read_page(asking(BUYERS, {}, fields="id,site"), asker)
    assert noted() == []


def test_who_may_not_look_is_refused_and_not_noted(yard: Yard) -> None:
    """A technician, and whoever holds no role."""
    for who in ("ada", "outsider"):
        with pytest.raises(Refusal) as no:
            look(yard, who)
        assert no.value.code == "not-allowed"
    assert noted() == []
    look(yard, "sol")
    assert noted() == [("Sol Invented", "buyer", "page", 1, {}, f" {yard.site} ")]


def test_what_cannot_be_noted_is_not_shown(yard: Yard, monkeypatch: pytest.MonkeyPatch) -> None:
    """No row, no rows."""
    yard.buyer()

    def broken(*args: Any) -> None:
        raise DatabaseError("disk full")

    monkeypatch.setattr(list_reads, "note", broken)
    monkeypatch.setattr(personal_reads, "note", broken)
    with pytest.raises(DatabaseError):
        read_page(asking(BUYERS, {}), asker_of(yard.sol, BUYERS))
    with pytest.raises(DatabaseError):
        read_all(asking(BUYERS, {}), asker_of(yard.sol, BUYERS))
    with pytest.raises(DatabaseError):
        look(yard, "sol")


def test_a_note_is_never_changed_or_deleted(yard: Yard) -> None:
    """By the model, the queryset, or SQL."""
    look(yard, "sol")
    row = PersonalRead.objects.get()
    row.rows = 2
    for change in (
        row.save,
        row.delete,
        lambda: PersonalRead.objects.update(rows=2),
        PersonalRead.objects.all().delete,
    ):
        with pytest.raises(UnchangeableError):
            change()
    for statement in ("UPDATE prep_personalread SET rows = 2", "DELETE FROM prep_personalread"):
        with pytest.raises(DatabaseError), transaction.atomic(), connection.cursor() as cursor:
            cursor.execute(statement)
    assert PersonalRead.objects.get().rows == 1


def test_each_sort_has_a_read_of_its_own_and_no_technician_makes_one() -> None:
    """The rule stands in one table, and the permission table shows it."""
    assert set(PERSONAL) == set(Personal)
    for data in PERSONAL.values():
        assert Role.TECHNICIAN not in READS[data.read].roles
