"""Endpoints of buyers: list, add, correct, erase."""

from datetime import datetime
from typing import Annotated, Final
from uuid import UUID

import msgspec

from api.inputs import CommandBody, Name, Query, Short, given
from api.operations import View, commands, erases, reads
from prep.actions import buyers
from prep.actions.write_path import Command
from prep.models import Buyer
from prep.queries.buyers import buyer_at, buyers_at
from prep.queries.people import sites_of
from prep.record.refusal import Refusal
from prep.record.roles import DESK, Role

# Technicians are left out: they do not need a buyer's address.
KNOW_BUYERS: Final = DESK | {Role.ADMINISTRATOR, Role.AUDITOR}


class BuyerQuery(Query, frozen=True, kw_only=True):
    """Filters of the list."""

    name: Annotated[str, msgspec.Meta(description="Any part of the name.")] = ""
    limit: Annotated[int, msgspec.Meta(ge=1, le=200)] = 50


BuyerName = Annotated[str, msgspec.Meta(max_length=200)]
Address = Annotated[str, msgspec.Meta(max_length=500)]
Email = Annotated[str, msgspec.Meta(max_length=254)]


class NewBuyerBody(CommandBody, frozen=True, kw_only=True):
    """A new buyer. Kept beside the log, so that it can be erased."""

    site: Name
    name: BuyerName
    address: Address = ""
    phone: Short = ""
    email: Email = ""


class AmendmentBody(CommandBody, frozen=True, kw_only=True):
    """The details to correct; what is left out stays as it is.

    With `seen`, the `seen` of the buyer as you read it, the command is refused where somebody
    corrected the buyer since.
    """

    name: BuyerName | None = None
    address: Address | None = None
    phone: Short | None = None
    email: Email | None = None
    seen: Name = ""


class ShownBuyer(msgspec.Struct, frozen=True, kw_only=True):
    """A buyer; once erased, only the id is left.

    Send `seen` with a correction to have it refused where somebody corrected the buyer since.
    """

    id: UUID
    site: str
    name: str
    address: str
    phone: str
    email: str
    erased: datetime | None
    seen: str


class BuyerList(msgspec.Struct, frozen=True, kw_only=True):
    """Buyers by name."""

    items: list[ShownBuyer]


class BuyersView(View):
    """Buyers."""

    tag = "buyers"

    @reads
    def get(self, query: BuyerQuery) -> BuyerList:
        """List buyers."""
        rows = buyers_at(_known_sites(self), name=query.name, limit=query.limit)
        return BuyerList(items=[_shown(buyer) for buyer in rows])

    @commands()
    def post(self, command: Command, body: NewBuyerBody) -> ShownBuyer:
        """Add a buyer."""
        return _shown(buyers.add(actor=self.person, command=command, **given(body)))


class BuyerView(View):
    """One buyer."""

    tag = "buyers"

    @reads
    def get(self, buyer: UUID) -> ShownBuyer:
        """Look at a buyer."""
        return _shown(buyer_at(buyer, _known_sites(self)))

    @erases
    def delete(self, buyer: UUID) -> None:
        """Erase a buyer's personal data.

        The log keeps a reference that resolves to nothing; its proofs stay valid.
        """
        buyer_at(buyer, sites_of(self.person))
        buyers.erase(actor=self.person, buyer=buyer)


class AmendmentView(View):
    """A buyer's particulars corrected."""

    tag = "buyers"

    @commands()
    def post(self, buyer: UUID, command: Command, body: AmendmentBody) -> ShownBuyer:
        """Correct a buyer's particulars.

        It is recorded on all of the buyer's units. Documents already issued keep the details they
        were issued with; a registration document that failed is tried again.
        """
        return _shown(buyers.amend(actor=self.person, command=command, buyer=buyer, **given(body)))


def _shown(buyer: Buyer) -> ShownBuyer:
    return ShownBuyer(
        id=buyer.pk,
        site=buyer.site_id,
        name=buyer.name,
        address=buyer.address,
        phone=buyer.phone,
        email=buyer.email,
        erased=buyer.erased,
        seen="" if buyer.erased else buyer.digest(),
    )


def _known_sites(view: View) -> list[str]:
    """Codes of the sites whose buyers the person may see; Refusal without any."""
    held = sites_of(view.person)
    known = [site for site, roles in held.items() if roles & KNOW_BUYERS]
    if held and not known:
        raise Refusal("not-allowed", "Buyers are known to sales, the office and auditors only.")
    return known
