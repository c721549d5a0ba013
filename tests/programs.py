"""Programs that use the API: their accounts and their tokens. All of them are invented."""

from collections.abc import Iterable

from prep.actions.perform import perform
from prep.models import Person
from prep.record.person.commands.systems import AddSystem
from prep.record.roles import Role
from prep.record.token.commands import IssueSystemToken, IssueToken
from prep.record.token.scopes import Scope
from tests.cast import Yard

PROGRAM = "parts-counter"


def program(yard: Yard, *roles: Role) -> Person:
    """The yard's system account, a technician where no role is named."""
    known = Person.objects.filter(username=PROGRAM).first()
    if known is None:
        given = roles or (Role.TECHNICIAN,)
        added = AddSystem(username=PROGRAM, name="Parts counter", roles=given)
        perform(added, actor=yard.otto, target=yard.site)
    return Person.objects.get(username=PROGRAM)


def issued(person: Person, scopes: Iterable[Scope], *, site: str = "", days: int = 30) -> str:
    """The text of a token that somebody issued themselves."""
    command = IssueToken(name="Invented app", scopes=tuple(scopes), days=days, site=site)
    return perform(command, actor=person).shown_once


def issued_to_program(yard: Yard, scopes: Iterable[Scope], *roles: Role) -> str:
    """The text of a token of the yard's system account."""
    system = program(yard, *roles).username
    command = IssueSystemToken(system=system, name="Invented", scopes=tuple(scopes), days=30)
    return perform(command, actor=yard.otto).shown_once


def program_token(yard: Yard) -> str:
    """The id of a token that Otto issued himself for the yard."""
    command = IssueToken(name="Invented app", scopes=(Scope.READ,), days=30, site=yard.site)
    return perform(command, actor=yard.otto).target
