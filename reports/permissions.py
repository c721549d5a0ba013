"""The permission table: who may give each command, make each read, and have each document made.

It is derived from the commands, the named reads and the document kinds, and written nowhere else.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from prep.record.commands import COMMANDS
from prep.record.reads import READS
from prep.record.roles import Role
from reports.registry import KINDS


class Sort(StrEnum):
    """What a row of the table is about."""

    COMMAND = "command"
    READ = "read"
    DOCUMENT = "document"


@dataclass(frozen=True)
class PermissionRow:
    """One row: what may be done, by which roles, and whether it is signed with the PIN.

    What is `own` the person it is about may do as well.
    """

    sort: Sort
    name: str
    roles: frozenset[Role]
    signed: bool = False
    own: bool = False


def permission_rows() -> Iterator[PermissionRow]:
    """Every row of the table; what only the service or its console may do is left out."""
    for tag, command in COMMANDS.items():
        if command.offered:
            may = command.permission
            yield PermissionRow(Sort.COMMAND, tag, may.roles, command.signs(), may.own)
    for name, permission in READS.items():
        yield PermissionRow(Sort.READ, name, permission.roles)
    for name, kind in KINDS.items():
        yield PermissionRow(Sort.DOCUMENT, name, kind.asked_by)
