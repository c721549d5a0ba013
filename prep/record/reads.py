"""Named reads and who may make them. What everybody of a yard may see is a read, too."""

from collections.abc import Mapping
from typing import Final

from prep.record.command import Permission
from prep.record.refusal import Refusal
from prep.record.roles import DESK, OFFICE, Role

EVERYBODY: Final = frozenset(Role)

READS: Final[Mapping[str, Permission]] = {
    "unit.view": Permission(EVERYBODY),
    "instrument.view": Permission(EVERYBODY),
    "model.view": Permission(EVERYBODY),
    "procedure.view": Permission(EVERYBODY),
    "member.view": Permission(EVERYBODY),
    # Whether an account is open, when it was last used, how the person is reached, its history.
    "person.view": Permission(OFFICE | {Role.AUDITOR}),
    # Technicians are left out: they do not need a buyer's address.
    "buyer.view": Permission(DESK | {Role.ADMINISTRATOR, Role.AUDITOR}),
    # Sales too: such photos are in the certificates that sales hands out.
    "people-photo.view": Permission(DESK | {Role.ADMINISTRATOR, Role.AUDITOR}),
    # Whoever answers for the yard, and whoever examines it.
    "guest.view": Permission(OFFICE | {Role.AUDITOR}),
    "personal-read.view": Permission(frozenset({Role.ADMINISTRATOR, Role.AUDITOR})),
    "desk.view": Permission(DESK | OFFICE),
    "seal.view": Permission(OFFICE),
    "audit.view": Permission(OFFICE | {Role.AUDITOR}),
    "document.check": Permission(OFFICE),
    "proof.view": Permission(OFFICE | {Role.AUDITOR}),
    "device.view": Permission(OFFICE | {Role.AUDITOR}),
    "keeper.view": Permission(frozenset({Role.ADMINISTRATOR, Role.AUDITOR})),
}


def may_read(name: str, roles: frozenset[Role]) -> bool:
    """Whether somebody with these roles may make a named read."""
    return bool(READS[name].roles & roles)


def permit_read(name: str, roles: frozenset[Role]) -> None:
    """Refuse a named read to whoever holds none of its roles."""
    if not may_read(name, roles):
        raise Refusal("not-allowed", roles=tuple(sorted(READS[name].roles)))
