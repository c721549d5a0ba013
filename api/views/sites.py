"""Sites, their members, and their buyers."""

from datetime import datetime
from typing import Annotated, Any, Final
from uuid import UUID

import msgspec

from api.bodies import CommandBody, Name, Query, given
from api.operations import View, commands, erases, reads
from prep.actions import buyers, shop
from prep.actions.writing import Command
from prep.queries.people import sites_of
from prep.queries.registers import buyer_row, buyer_rows, member_rows, person_named
from prep.record.refusal import Refusal
from prep.record.roles import DESK, Role

# A technician needs no buyer's address.
KNOW_BUYERS: Final = DESK | {Role.ADMINISTRATOR, Role.AUDITOR}


class Member(msgspec.Struct, frozen=True, kw_only=True):
    """A person and a role held at a site."""

    person: str
    name: str
    role: str


class MemberList(msgspec.Struct, frozen=True, kw_only=True):
    """Members of a site by name."""

    items: list[Member]


class MemberBody(CommandBody, frozen=True, kw_only=True):
    """A person by user name, and the role."""

    person: Name
    role: Role


class BuyerQuery(Query, frozen=True, kw_only=True):
    """What the list is narrowed to."""

    name: Annotated[str, msgspec.Meta(description="Any part of the name.")] = ""
    limit: Annotated[int, msgspec.Meta(ge=1, le=200)] = 50


class NewBuyerBody(CommandBody, frozen=True, kw_only=True):
    """Who a unit is meant for. Kept beside the log, so that it can be erased."""

    site: Name
    name: Annotated[str, msgspec.Meta(max_length=200)]
    address: Annotated[str, msgspec.Meta(max_length=500)] = ""
    phone: Annotated[str, msgspec.Meta(max_length=60)] = ""
    email: Annotated[str, msgspec.Meta(max_length=254)] = ""


class ShownBuyer(msgspec.Struct, frozen=True, kw_only=True):
    """A buyer; once erased, only the id is left, which no name belongs to any more."""

    id: UUID
    site: str
    name: str
    address: str
    phone: str
    email: str
    erased: datetime | None


class BuyerList(msgspec.Struct, frozen=True, kw_only=True):
    """Buyers by name."""

    items: list[ShownBuyer]


class MembersView(View):
    """Who works at a site."""

    tag = "sites"

    @reads
    def get(self, site: str) -> MemberList:
        """List a site's members."""
        _own(self, site)
        return MemberList(items=_members(site))

    @commands()
    def post(self, site: str, command: Command, body: MemberBody) -> MemberList:
        """Give a person a role at a site.

        The role of an administrator is needed. The answer lists the members as they now are.
        """
        _own(self, site)
        person = person_named(body.person)
        shop.add_member(
            actor=self.person, command=command, site=site, person=person, role=body.role
        )
        return MemberList(items=_members(site))


class MemberRemovalView(View):
    """Roles taken back."""

    tag = "sites"

    @commands()
    def post(self, site: str, command: Command, body: MemberBody) -> MemberList:
        """Take a role from a person at a site.

        What they signed stays signed.
        """
        _own(self, site)
        person = person_named(body.person)
        shop.remove_member(
            actor=self.person, command=command, site=site, person=person, role=body.role
        )
        return MemberList(items=_members(site))


class BuyersView(View):
    """Buyers."""

    tag = "buyers"

    @reads
    def get(self, query: BuyerQuery) -> BuyerList:
        """List buyers."""
        rows: Any = buyer_rows(_known_sites(self), name=query.name, limit=query.limit)
        return BuyerList(items=rows)

    @commands()
    def post(self, command: Command, body: NewBuyerBody) -> ShownBuyer:
        """Add a buyer."""
        buyer = buyers.add(actor=self.person, command=command, **given(body))
        return ShownBuyer(
            id=buyer.pk,
            site=buyer.site_id,
            name=buyer.name,
            address=buyer.address,
            phone=buyer.phone,
            email=buyer.email,
            erased=buyer.erased,
        )


class BuyerView(View):
    """One buyer."""

    tag = "buyers"

    @reads
    def get(self, buyer: UUID) -> ShownBuyer:
        """Look at a buyer."""
        return ShownBuyer(**buyer_row(buyer, _known_sites(self)))

    @erases
    def delete(self, buyer: UUID) -> None:
        """Erase a buyer's personal data.

        The log keeps a reference nobody can resolve any more; what it proves stays proven.
        """
        buyer_row(buyer, sites_of(self.person))
        buyers.erase(actor=self.person, buyer=buyer)


def _own(view: View, site: str) -> None:
    """Strangers are told no more than that the site is not there."""
    if site not in sites_of(view.person):
        raise Refusal("no-such-site", "There is no such site.")


def _members(site: str) -> list[Member]:
    return [
        Member(person=row["person__username"], name=row["person__printed_name"], role=row["role"])
        for row in member_rows(site)
    ]


def _known_sites(view: View) -> list[str]:
    """Sites whose buyers the person may know."""
    held = sites_of(view.person)
    known = [site for site, roles in held.items() if roles & KNOW_BUYERS]
    if held and not known:
        raise Refusal("not-allowed", "Buyers are known to sales, the office and auditors only.")
    return known
