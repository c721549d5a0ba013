"""Endpoint of one buyer."""

from datetime import datetime
from uuid import UUID

import msgspec

from api.operations import View, reads
from api.paging import Page, PageQuery, address_after, decode
from prep.actions.readings.personal import How, Shown, show
from prep.models import Buyer
from prep.queries.people import roles_at, sites_of
from prep.queries.personal.buyers import buyer_at
from prep.record.personal import Personal
from prep.record.reads import READS, may_read, permit_read
from prep.record.refusal import Refusal
from reports.readings import looked_at


class ShownBuyer(msgspec.Struct, frozen=True, kw_only=True):
    """A buyer; once erased, only the id is left. `hold` is the reason of a legal hold.

    Send `seen` with a correction to have it refused where somebody corrected the buyer since.
    """

    id: UUID
    site: str
    name: str
    address: str
    phone: str
    email: str
    erased: datetime | None
    hold: str
    seen: str


class BuyerView(View):
    """One buyer."""

    tag = "buyers"

    @reads
    def get(self, buyer: UUID) -> ShownBuyer:
        """Look at a buyer. That you did is noted, for administrators and auditors."""
        known = buyer_at(buyer, _known_sites(self))
        if not known.erased:
            roles = frozenset(roles_at(self.person, known.site_id))
            shown = Shown(Personal.BUYER, How.API, [known.site_id], str(known.pk))
            show(self.person, roles, [Personal.BUYER], shown)
        return _shown(known)


def _shown(buyer: Buyer) -> ShownBuyer:
    return ShownBuyer(
        id=buyer.pk,
        site=buyer.site_id,
        name=buyer.name,
        address=buyer.address,
        phone=buyer.phone,
        email=buyer.email,
        erased=buyer.erased,
        hold=buyer.held,
        seen="" if buyer.erased else buyer.digest(),
    )


def _known_sites(view: View) -> list[str]:
    """Codes of the sites whose buyers the person may see; Refusal without any."""
    held = sites_of(view.person)
    known = [site for site, roles in held.items() if may_read("buyer.view", roles)]
    if held and not known:
        raise Refusal("not-allowed", roles=tuple(sorted(READS["buyer.view"].roles)))
    return known


class ShownReading(msgspec.Struct, frozen=True, kw_only=True):
    """One request that showed the buyer, or may have: `sort` what was shown, `how` by what.

    `rows` counts what was shown at once; `asked` are the filters, without what was typed into them.
    """

    id: int
    at: datetime
    reader: str
    reader_name: str
    sort: str
    subject: str
    how: str
    rows: int
    asked: list[str]
    sites: list[str]


class ReadingPage(Page[ShownReading], frozen=True, kw_only=True):
    """Who looked at a buyer, the newest first."""


class ReadingsView(View):
    """Who looked at a buyer."""

    tag = "buyers"

    @reads
    def get(self, buyer: UUID, query: PageQuery) -> ReadingPage:
        """See who looked at a buyer: the details, documents that hold them, lists of the yard."""
        known = buyer_at(buyer, _known_sites(self))
        permit_read("personal-read.view", frozenset(roles_at(self.person, known.site_id)))
        cursor = decode(query.cursor) if query.cursor else ""
        page = looked_at(self.person, known, cursor=cursor, limit=query.limit)
        return ReadingPage(
            items=[ShownReading(**row) for row in page.rows],
            next=address_after(self.request, page.cursor),
        )
