"""Personal data: what is personal, and who may read it. Everybody asks here.

Pages, the API, lists, exports, documents and bundles follow this one rule; each reading is noted
(`prep.actions.readings`). A technician does not need a buyer's address, and so gets neither the
buyer nor a document that names one: without the name it would be another file than the one that was
issued, and prove nothing.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from prep.record.reads import may_read, permit_read
from prep.record.roles import Role


class Personal(StrEnum):
    """What is personal."""

    BUYER = "buyer"
    RECIPIENT = "recipient"
    PHOTO = "photo"
    KEEPER = "keeper"
    GUEST = "guest"


@dataclass(frozen=True)
class PersonalData:
    """One sort of personal data: its fields, and the named read by which it is seen."""

    read: str
    fields: tuple[str, ...]


PERSONAL: Final[Mapping[Personal, PersonalData]] = {
    Personal.BUYER: PersonalData("buyer.view", ("name", "address", "phone", "email")),
    Personal.RECIPIENT: PersonalData("buyer.view", ("name",)),
    # One that is marked as showing people.
    Personal.PHOTO: PersonalData("people-photo.view", ("file",)),
    Personal.KEEPER: PersonalData("keeper.view", ("email",)),
    Personal.GUEST: PersonalData("guest.view", ("name",)),
}


def may_see(sort: Personal, roles: frozenset[Role]) -> bool:
    """Whether somebody with these roles may read personal data of a sort."""
    return may_read(PERSONAL[sort].read, roles)


def permit_seeing(sort: Personal, roles: frozenset[Role]) -> None:
    """Refuse personal data of a sort to whoever holds none of the roles for it."""
    permit_read(PERSONAL[sort].read, roles)
