"""Endpoint of one buyer."""

from datetime import datetime
from uuid import UUID

import msgspec

from api.operations import View, reads
from prep.models import Buyer
from prep.queries.buyers import buyer_at
from prep.queries.people import sites_of
from prep.record.reads import READS, may_read
from prep.record.refusal import Refusal
from prep.record.token.scopes import PERSONAL


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


class BuyerView(View):
    """One buyer."""

    tag = "buyers"
    reading = PERSONAL

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
