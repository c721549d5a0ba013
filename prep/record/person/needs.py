"""The facts that decisions about people read from outside their stream."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from prep.record.command import Need
from prep.record.person.events import Invitation
from prep.record.roles import Actor


@dataclass(frozen=True)
class Fingerprints:
    """The keyed fingerprints of a new password and of a new PIN; empty for one that stays."""

    password: str = ""
    pin: str = ""


@dataclass(frozen=True)
class CardNumber:
    """A card's id, and the salted digest of its number, which is kept beside the log."""

    card: str
    digest: str


# From the fields of the command, hashed.
SECRETS: Final = Need[Fingerprints]("secrets")
CONTACT: Final = Need[str]("contact")
CARD_NUMBER: Final = Need[CardNumber]("card-number")

# By the user name, which nobody else has: the name as it is printed.
FREE_NAME: Final = Need[str]("free-name")

# Made for the command.
INVITATION: Final = Need[Invitation]("invitation")
NEW_SYSTEM: Final = Need[Actor]("new-system")
NEW_PERSON: Final = Need[Actor]("new-person")

# From the named set of members: the names of the yards that would have no active administrator
# without this person.
LEFT_ALONE: Final = Need[Sequence[str]]("left-alone")
# The yards where the person's roles end with the command.
ROLES_END: Final = Need[Sequence[str]]("roles-end")
