"""A buyer's details, kept beside the log, where they can be erased."""

import secrets
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import Final
from uuid import UUID

from prep.models import Buyer, FormerParticulars
from prep.record.buyer.commands import AddBuyer, AmendBuyer
from prep.record.facts import BuyerRef
from prep.record.needs import Details

DETAILS: Final = ("name", "address", "phone", "email")
# What stands in the row of a buyer whose data was erased.
NOTHING: Final = {**dict.fromkeys((*DETAILS, "salt"), ""), "name": "(erased)"}


@dataclass(frozen=True)
class DetailsToKeep:
    """Details as a command leaves them; `keep` stores them."""

    details: Details
    keep: Callable[[], None]


def new_details(buyer: str, command: AddBuyer) -> DetailsToKeep:
    """The details of a new buyer."""
    row = Buyer(
        id=UUID(buyer),
        site_id=command.site,
        salt=secrets.token_hex(16),
        **{name: getattr(command, name) for name in DETAILS},
    )
    return DetailsToKeep(
        Details(BuyerRef(buyer, row.digest())), lambda: row.save(force_insert=True)
    )


def amended_details(buyer: str, command: AmendBuyer) -> DetailsToKeep:
    """A buyer's details with those that the command gives put in their place.

    They get a new salt, so that the new digest reveals nothing about the former details. Those are
    kept: they prove what was signed while they were current.
    """
    row = Buyer.objects.get(pk=UUID(buyer))
    before, was = row.digest(), _details_of(row)
    given = {name: value for name in DETAILS if (value := getattr(command, name)) is not None}
    former = FormerParticulars(buyer=row, salt=row.salt, **was)
    for name, value in given.items():
        setattr(row, name, value)
    row.salt = secrets.token_hex(16)

    def keep() -> None:
        former.save(force_insert=True)
        row.save()

    details = Details(
        BuyerRef(buyer, row.digest()),
        changed={**was, **given} != was,
        before=before,
    )
    return DetailsToKeep(details, keep)


def erase_details(buyer: UUID, when: datetime) -> None:
    """Erase a buyer's details, former ones too."""
    FormerParticulars.objects.filter(buyer=buyer).delete()
    Buyer.objects.filter(pk=buyer).update(**NOTHING, erased=when)


def _details_of(row: Buyer) -> dict[str, str]:
    return {name: getattr(row, name) for name in DETAILS}
