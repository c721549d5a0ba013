"""The page of everybody who works at the yards of whoever looks."""

from dataclasses import dataclass
from datetime import date
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from prep.models import Card, Person
from prep.pages.forms import person, signed_in, use_time_zone_of
from prep.queries.accounts import cards_of, staff
from prep.queries.people import sites_of
from prep.queries.readers import reader_of
from prep.queries.registrations import today_at
from prep.queries.sites import named_sites
from prep.record.person.card_states import card_state
from prep.record.person.commands.invitations import InvitePerson
from prep.record.reads import may_read
from prep.record.roles import Role
from prep.words.dates import short_day
from prep.words.people.states import card_kind, card_state_text, person_state
from prep.words.permissions import role_text
from prep.words.reader import Reader


@dataclass(frozen=True)
class ShownCard:
    """A training card as a page shows it; `state` is its token, for its color."""

    id: str
    title: str
    until: str
    state: str
    state_text: str


def shown_card(card: Card, today: date, reader: Reader) -> ShownCard:
    """A card on the yard's day."""
    state = card_state(card.valid_until, today)
    title = ": ".join(filter(None, (card_kind(card.kind, reader), card.manufacturer)))
    until = short_day(card.valid_until.isoformat(), reader)
    return ShownCard(str(card.pk), title, until, state.value, card_state_text(state, reader))


@signed_in
def people(request: HttpRequest) -> HttpResponse:
    """Show, for each yard, who works there: roles, state, training cards, last sign-in."""
    who = person(request)
    held = {site: roles for site, roles in sites_of(who).items() if may_read("member.view", roles)}
    use_time_zone_of(held)
    reader, working, today = reader_of(who), staff(list(held)), today_at(list(held))
    page = {
        "yards": [
            {
                "code": site.code,
                "name": site.name,
                "may_invite": bool(InvitePerson.permission.roles & held[site.code]),
                "may_look": may_read("person.view", held[site.code]),
                "people": _shown(working[site.code], today[site.code], reader),
            }
            for site in named_sites(held)
        ]
    }
    return render(request, "people/people.html", page)


def _shown(working: dict[Person, list[Role]], today: str, reader: Reader) -> list[dict[str, Any]]:
    day = date.fromisoformat(today)
    cards: dict[int, list[ShownCard]] = {one.pk: [] for one in working}
    for card in cards_of(list(cards)):
        cards[card.person_id].append(shown_card(card, day, reader))
    return [
        {
            "person": one,
            "state": one.status,
            "state_text": person_state(one.status, reader),
            "roles": [role_text(role, reader) for role in roles],
            "cards": cards[one.pk],
        }
        for one, roles in working.items()
    ]
