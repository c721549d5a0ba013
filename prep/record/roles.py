"""Roles and permissions. A person holds roles at each site; a command requires one of several."""

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from typing import Final
from uuid import UUID


class Role(StrEnum):
    """The five roles at a dealership."""

    TECHNICIAN = "technician"
    SERVICE_MANAGER = "service manager"
    SALES = "sales"
    AUDITOR = "auditor"
    ADMINISTRATOR = "administrator"


SERVICE: Final = frozenset({Role.TECHNICIAN, Role.SERVICE_MANAGER})
MANAGER: Final = frozenset({Role.SERVICE_MANAGER})
DESK: Final = frozenset({Role.SALES, Role.SERVICE_MANAGER})
OFFICE: Final = frozenset({Role.ADMINISTRATOR, Role.SERVICE_MANAGER})

# Everybody but auditors, who read documents and have none of a unit's made.
STAFF: Final = SERVICE | DESK | OFFICE


@dataclass(frozen=True)
class Actor:
    """The person behind a command, with the roles held at the site concerned."""

    id: str
    name: str
    roles: frozenset[Role]


@dataclass(frozen=True)
class Context:
    """Who gives a command, its id, and when it happened (device clock) and was recorded (server).

    Both times carry a time zone; `recorded` is never before an earlier event of the stream. `named`
    is whom the device names as the author of an entry, where the actor only sends it.
    """

    actor: Actor
    happened: datetime
    recorded: datetime
    command: UUID
    named: Actor | None = None
