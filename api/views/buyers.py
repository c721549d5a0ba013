"""Endpoints of buyers: list, look at."""

from datetime import datetime
from typing import Annotated
from uuid import UUID

import msgspec

from api.inputs import Query
from api.operations import View, reads
from prep.models import Buyer
from prep.queries.buyers import buyer_at, buyers_at
from prep.queries.people import sites_of
from prep.record.reads import READS, may_read
from prep.record.refusal import Refusal


class BuyerQuery(Query, frozen=True, kw_only=True):
    """Filters of the list."""

    name: Annotated[str, msgspec.Meta(description="Any part of the name.")] = ""
    limit: Annotated[int, msgspec.Meta(ge=1, le=200)] = 50


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


class BuyerView(View):
    """One buyer."""

    tag = "buyers"

    @reads
    def get(self, buyer: UUID) -> ShownBuyer:
        """Look at a buyer."""
        return _shown(buyer_at(buyer, _known_sites(self)))


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
    known = [site for site, roles in held.items() if may_read("buyer.view", roles)]
    if held and not known:
        raise Refusal("not-allowed", roles=tuple(sorted(READS["buyer.view"].roles)))
    return known
