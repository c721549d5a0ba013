"""The lists of sites, of their devices, and of the tokens that can be used there."""

from datetime import datetime
from typing import Any, Final

from django.db.models import Q, QuerySet
from django.utils import timezone

from prep.models import Device, Site, Token
from prep.queries.listing.declaration import (
    Asker,
    Field,
    Filter,
    Kind,
    Listing,
    Order,
    Row,
    contains,
    equal,
)
from prep.queries.tokens import administered


def _sites(asker: Asker) -> QuerySet[Site]:
    return Site.objects.filter(code__in=asker.sites)


SITES: Final = Listing(
    name="sites",
    table=Site,
    read="member.view",
    rows=_sites,
    key="code",
    fields=(
        Field(name="code", kind=Kind.TOKEN),
        Field(name="name"),
        Field(name="dealer"),
        Field(name="time_zone", kind=Kind.TOKEN),
        Field(name="street"),
        Field(name="place"),
        Field(name="region"),
        Field(name="postal_code", kind=Kind.TOKEN),
        Field(name="country", kind=Kind.TOKEN),
        Field(name="phone"),
        Field(name="email"),
        Field(name="web"),
    ),
    shown=("name", "code", "dealer", "place", "region", "phone", "time_zone"),
    orders=(Order("name", ("name",)),),
    search=contains("code", "name", "dealer", "place"),
)

STATES: Final = ("good", "expired", "revoked")


def _tokens(asker: Asker) -> QuerySet[Token]:
    theirs = administered(asker.person).filter(signed_in=False)
    return Token.objects.filter(Q(person=asker.person) | Q(pk__in=theirs.values("pk")))


def state_of(revoked: datetime | None, expires: datetime) -> str:
    """Whether a token is good, expired or revoked."""
    if revoked:
        return "revoked"
    return "expired" if expires <= timezone.now() else "good"


def _state(row: Row, asker: Asker) -> str:
    return state_of(row["revoked"], row["expires"])


def _in_state(state: Any, asker: Asker) -> Q:
    over = Q(expires__lte=timezone.now())
    unrevoked = {"good": ~over, "expired": over}
    return Q(revoked=None) & unrevoked[state] if state in unrevoked else Q(revoked__isnull=False)


def _text(value: Any, asker: Asker) -> str:
    return str(value or "")


TOKENS: Final = Listing(
    name="tokens",
    table=Token,
    read="token.view",
    rows=_tokens,
    fields=(
        Field(name="id", kind=Kind.ID),
        Field(name="name"),
        Field(name="hint", kind=Kind.TOKEN),
        Field(name="signed_in", kind=Kind.YES_NO),
        Field(name="person", kind=Kind.TOKEN, source="person__username"),
        Field(name="person_name", source="person__printed_name"),
        Field(name="scopes", kind=Kind.TEXTS),
        Field(name="site", kind=Kind.TOKEN, show=_text),
        Field(name="issued", kind=Kind.MOMENT),
        Field(name="expires", kind=Kind.MOMENT),
        Field(name="used", kind=Kind.MOMENT),
        Field(name="state", kind=Kind.TOKEN, of_row=_state, reads=("revoked", "expires")),
    ),
    shown=("name", "person_name", "scopes", "site", "state", "expires", "used", "hint"),
    orders=(Order("newest", ("issued",), descending=True), Order("oldest", ("issued",))),
    filters=(
        equal("person", Kind.TOKEN, source="person__username"),
        equal("site", Kind.TOKEN),
        equal("signed_in", Kind.YES_NO),
        Filter(name="state", kind=Kind.TOKEN, condition=_in_state, choices=STATES),
    ),
    search=contains("name", "person__username", "person__printed_name"),
)

DEVICES: Final = Listing(
    name="devices",
    table=Device,
    read="device.view",
    rows=lambda asker: Device.objects.all(),
    site="site_id",
    fields=(
        Field(name="id", kind=Kind.ID),
        Field(name="name"),
        Field(name="site", kind=Kind.TOKEN),
        Field(name="enrolled", kind=Kind.MOMENT),
        Field(name="enrolled_by"),
        Field(name="contact", kind=Kind.MOMENT),
        Field(name="unsent", kind=Kind.NUMBER),
        Field(name="revoked", kind=Kind.MOMENT),
    ),
    shown=("name", "contact", "unsent", "enrolled", "enrolled_by", "revoked", "site"),
    orders=(Order("name", ("name",), by_site=True),),
    filters=(
        equal("site", Kind.TOKEN),
        Filter(
            name="in_use",
            kind=Kind.YES_NO,
            condition=lambda value, _: Q(revoked=None) if value else Q(revoked__isnull=False),
        ),
    ),
    search=contains("name"),
)
