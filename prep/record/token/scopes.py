"""What a token may be used for, read off the one permission table.

A scope only ever narrows what the person's roles allow. Which one a command or a read belongs to
follows from who may give it, so that no second table can fall behind the first.
"""

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from prep.record.command import Command, Permission
from prep.record.refusal import Refusal
from prep.record.roles import Role


class Scope(StrEnum):
    """What a token may be used for."""

    READ = "read"
    PERSONAL = "read-personal"
    WORK = "work"
    DESK = "desk"
    MANAGE = "manage"
    SIGN = "sign"


READ: Final = frozenset({Scope.READ})
PERSONAL: Final = frozenset({Scope.READ, Scope.PERSONAL})
BY_COMMAND: Final = frozenset[Scope]()  # nothing but what the command needs
EVERY: Final = frozenset(Scope)
# A system has no PIN to sign with.
OF_SYSTEMS: Final = tuple(scope for scope in Scope if scope is not Scope.SIGN)

# Named reads that show somebody's personal data.
PERSONAL_READS: Final = frozenset({"buyer.view", "keeper.view", "person.view"})


@dataclass(frozen=True)
class Access:
    """What somebody was let in for: scopes, one yard or all of theirs, by which token.

    `signed_in` says that they gave their password: nothing is narrowed then. `system` is for an
    account that is no person. `token` is empty where no token was sent.
    """

    scopes: frozenset[Scope] = EVERY
    site: str = ""
    token: str = ""
    signed_in: bool = True
    system: bool = False

    @property
    def program(self) -> str:
        """The token of a program; empty for somebody who signed in."""
        return "" if self.signed_in else self.token

    def allows_read(self, name: str) -> bool:
        """Whether a named read is within the scopes."""
        return scopes_of_read(name) <= self.scopes

    def require(self, needed: frozenset[Scope]) -> None:
        """Refuse what is outside the scopes, and name the first that is missing."""
        if missing := sorted(needed - self.scopes):
            raise Refusal("scope-missing", scope=missing[0].value)


FULL: Final = Access()


def scope_of(permission: Permission) -> Scope:
    """The scope of whatever has a permission: of the roles that may, the one nearest the work."""
    if Role.TECHNICIAN in permission.roles:
        return Scope.WORK
    return Scope.DESK if Role.SALES in permission.roles else Scope.MANAGE


def scopes_of(command: type[Command]) -> frozenset[Scope]:
    """The scopes a command needs."""
    signing = frozenset({Scope.SIGN}) if command.signs() else frozenset[Scope]()
    return signing | {scope_of(command.permission)}


def scopes_of_read(name: str) -> frozenset[Scope]:
    """The scopes a named read needs."""
    return PERSONAL if name in PERSONAL_READS else READ


def allow_roles(roles: frozenset[Role], access: Access) -> None:
    """Refuse what some roles may ask for, where somebody was not let in for it."""
    access.require(frozenset({scope_of(Permission(roles))}))


def takes_sign_in(command: type[Command]) -> bool:
    """Whether only somebody who signed in by password gives a command: it is their own affair, or
    it could let in more than the token may."""
    return command.in_person or command.permission.own


def allow(command: type[Command], access: Access) -> None:
    """Refuse a command that somebody was not let in for."""
    if command.signs() and access.system:
        raise Refusal("system-cannot-sign")
    if takes_sign_in(command) and not access.signed_in:
        raise Refusal("sign-in-needed")
    access.require(scopes_of(command))
