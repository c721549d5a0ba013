"""Endpoint of one person's account."""

from datetime import date, datetime
from uuid import UUID

import msgspec

from api.operations import View, reads
from prep.actions.readings.personal import How, Shown, note
from prep.queries.accounts import account_history, account_seen, cards_of, open_invitation
from prep.queries.readers import reader_of
from prep.queries.registrations import today_at
from prep.queries.sites import named_sites
from prep.record.person.card_states import card_state
from prep.record.token.scopes import PERSONAL
from prep.words.people.history import account_event_text


class RolesAt(msgspec.Struct, frozen=True, kw_only=True):
    """A yard, and the roles held there."""

    site: str
    name: str
    roles: list[str]


class OpenInvitation(msgspec.Struct, frozen=True, kw_only=True):
    """An invitation that was neither used nor withdrawn: to `join`, or to `reset`.

    `mail_failing` is since when its mail cannot be sent; null where it went out or none is due.
    """

    purpose: str
    expires: datetime
    mail_failing: datetime | None


class ShownCard(msgspec.Struct, frozen=True, kw_only=True):
    """A training card; `state` is valid, ends-soon (within 30 days) or expired, today."""

    id: UUID
    kind: str
    manufacturer: str
    number: str
    valid_until: date
    state: str


class AccountEvent(msgspec.Struct, frozen=True, kw_only=True):
    """What happened to the account, in words, by whom and when."""

    kind: str
    text: str
    by: str
    recorded: datetime


class Account(msgspec.Struct, frozen=True, kw_only=True):
    """An account. `state` is invited, active, suspended or left.

    Of the yards only those are told where you work as well; your own are all told.
    """

    id: str
    username: str
    name: str
    state: str
    language: str
    units: str
    decimal_comma: bool | None
    email: str
    phone: str
    last_sign_in: datetime | None
    sites: list[RolesAt]
    invitation: OpenInvitation | None
    cards: list[ShownCard]
    history: list[AccountEvent]


class AccountView(View):
    """One person's account."""

    tag = "people"
    reading = PERSONAL

    @reads
    def get(self, person: int) -> Account:
        """See an account: its state, roles, training cards, and what happened to it."""
        seen = account_seen(self.person, person)
        row, reader = seen.person, reader_of(self.person)
        if row != self.person and (row.email or row.phone):
            shown = Shown("account", How.API, seen.held, str(row.pk))
            note(str(self.person.pk), str(self.person), shown)
        sites = {site.code: site for site in named_sites(seen.roles)}
        today = date.fromisoformat(max(today_at(sites).values(), default=date.today().isoformat()))
        invitation = open_invitation(row)
        return Account(
            id=str(row.pk),
            username=row.username,
            name=str(row),
            state=row.status,
            language=row.language,
            units=row.units,
            decimal_comma=row.decimal_comma,
            email=row.email,
            phone=row.phone,
            last_sign_in=row.last_login,
            sites=[
                RolesAt(site=code, name=site.name, roles=sorted(r.value for r in seen.roles[code]))
                for code, site in sites.items()
            ],
            invitation=OpenInvitation(
                purpose=invitation.purpose,
                expires=invitation.expires,
                mail_failing=invitation.mail_failing,
            )
            if invitation
            else None,
            cards=[
                ShownCard(
                    id=card.pk,
                    kind=card.kind,
                    manufacturer=card.manufacturer,
                    number=card.number,
                    valid_until=card.valid_until,
                    state=card_state(card.valid_until, today).value,
                )
                for card in cards_of([row.pk])
            ],
            history=[
                AccountEvent(
                    kind=str(one.event.__struct_config__.tag),
                    text=account_event_text(
                        one.event, reader, sites[one.site].name if one.site else ""
                    ),
                    by=one.by,
                    recorded=one.recorded,
                )
                for one in account_history(row, list(sites))
            ],
        )
