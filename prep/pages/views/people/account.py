"""The page of one account, and the commands an administrator gives on it."""

from collections.abc import Iterator
from datetime import date
from typing import Any, Final

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from prep.actions.people import opener_of
from prep.actions.perform import perform
from prep.actions.readings.personal import How, Shown, note
from prep.actions.streams.all_streams import STREAMS
from prep.models import Person, Site
from prep.pages.command_form import read_form, shown_fields
from prep.pages.commands import OfferedCommand, context_now, in_words
from prep.pages.forms import new_command, person, signed_in, submission_of, use_time_zone_of
from prep.pages.refusals import shown_refusal
from prep.pages.views.people.opened import opened_page
from prep.pages.views.people.roster import shown_card
from prep.queries.accounts import (
    SeenAccount,
    account_history,
    account_seen,
    cards_of,
    open_invitation,
)
from prep.queries.people import sites_of
from prep.queries.readers import reader_of
from prep.queries.registrations import today_at
from prep.queries.sites import named_sites
from prep.record.command import Command
from prep.record.person.commands.access import (
    LeavePerson,
    RestorePerson,
    SignOutEverywhere,
    SuspendPerson,
)
from prep.record.person.commands.cards import RecordCard, WithdrawCard
from prep.record.person.commands.invitations import (
    OPENING,
    RenewInvitation,
    ResetPerson,
    WithdrawInvitation,
)
from prep.record.person.commands.names import RenamePerson
from prep.record.person.commands.settings import ChangeContact
from prep.record.person.person_command import PersonCommand
from prep.record.refusal import Refusal
from prep.record.roles import Role
from prep.record.site.commands import GiveRole, TakeRole
from prep.record.struct_errors import convert_texts
from prep.record.unit.state import Record
from prep.words.people.history import account_event_text
from prep.words.people.states import person_state
from prep.words.permissions import role_text
from prep.words.reader import Reader

NO_UNIT: Final = Record({})
ON_ACCOUNT: Final[dict[str, type[PersonCommand]]] = {
    command.tag(): command
    for command in (
        RenewInvitation,
        WithdrawInvitation,
        ResetPerson,
        RecordCard,
        ChangeContact,
        RenamePerson,
        SignOutEverywhere,
        SuspendPerson,
        RestorePerson,
        LeavePerson,
    )
}


@signed_in
def account(request: HttpRequest, account: int) -> HttpResponse:
    """Show an account: state, roles by yard, training cards, what may be done, what happened."""
    seen = _seen(request, account)
    use_time_zone_of(seen.held)
    row, reader = seen.person, reader_of(person(request))
    _note(request, seen)
    mine = _administered(person(request))
    sites = named_sites({*seen.roles, *mine})
    names = {site.code: site.name for site in sites}
    today = date.fromisoformat(max(today_at(list(names)).values(), default=str(date.today())))
    may_card = any(RecordCard.permission.roles & roles for roles in seen.held.values())
    page = {
        "account": row,
        "state": person_state(row.status, reader),
        "invitation": open_invitation(row),
        "may_invite": any(RenewInvitation.permission.roles & held for held in seen.held.values()),
        "yards": [_yard(seen, site, reader, may=site.code in mine) for site in sites],
        "cards": [shown_card(card, today, reader) for card in cards_of([row.pk])],
        "may_card": may_card,
        "commands": list(_offered(seen, person(request), reader)),
        "history": [
            (one, account_event_text(one.event, reader, names.get(one.site, "")))
            for one in account_history(row, list(names))
        ],
    }
    return render(request, "people/account.html", page)


def _seen(request: HttpRequest, account: int) -> SeenAccount:
    try:
        return account_seen(person(request), account)
    except Refusal as no:
        raise Http404 from no


def _note(request: HttpRequest, seen: SeenAccount) -> None:
    """Note that somebody is shown a colleague's e-mail or phone, where one is on record."""
    who, row = person(request), seen.person
    if row != who and (row.email or row.phone):
        note(str(who.pk), str(who), Shown("account", How.PAGE, seen.held, str(row.pk)))


def _administered(who: Person) -> list[str]:
    """The yards where somebody gives and takes roles."""
    wanted = GiveRole.permission.roles
    return [site for site, roles in sites_of(who).items() if wanted & roles]


def _yard(seen: SeenAccount, site: Site, reader: Reader, *, may: bool) -> dict[str, Any]:
    held = seen.roles.get(site.code, frozenset())
    roles = [(role.value, role_text(role, reader)) for role in Role if role in held]
    return {"code": site.code, "name": site.name, "may_change": may, "roles": roles}


def _offered(seen: SeenAccount, who: Person, reader: Reader) -> Iterator[OfferedCommand]:
    """The commands that somebody may give on the account as things stand."""
    state = STREAMS["person"].load(str(seen.person.pk)).state
    anywhere = frozenset(role for roles in seen.held.values() for role in roles)
    for command in ON_ACCOUNT.values():
        wanted = command.permission.roles
        if not wanted & anywhere:
            continue
        everywhere = seen.everywhere and all(wanted & roles for roles in seen.held.values())
        if command.at_every_yard and not everywhere:
            continue
        try:
            command.guard(state, context_now(who, anywhere))
        except Refusal:
            continue
        yield in_words(command, reader)


@signed_in
def account_command(request: HttpRequest, account: int, name: str) -> HttpResponse:
    """Show the form of a command on an account, or give it."""
    command = ON_ACCOUNT.get(name)
    if command is None:
        raise Http404
    seen = _seen(request, account)
    filled = {}
    if command is ChangeContact:
        _note(request, seen)
        filled = {"email": seen.person.email, "phone": seen.person.phone}
    if command is RenamePerson:
        filled = {"name": str(seen.person), "username": seen.person.username}
    return _given(request, seen, command, account, filled)


@signed_in
def card_withdraw(request: HttpRequest, account: int, card: str) -> HttpResponse:
    """Show the form to withdraw a training card, or withdraw it."""
    return _given(request, _seen(request, account), WithdrawCard, account, {"card": card})


@signed_in
def role(request: HttpRequest, account: int, site: str, name: str) -> HttpResponse:
    """Show the form to give or take a role at a yard, or do it."""
    command = {"add": GiveRole, "remove": TakeRole}.get(name)
    seen = _seen(request, account)
    if command is None or site not in _administered(person(request)):
        raise Http404
    filled = {"person": seen.person.username, "role": request.GET.get("role", "")}
    return _given(request, seen, command, site, filled)


@signed_in
def role_by_name(request: HttpRequest, site: str) -> HttpResponse:
    """Show the form to give a role to somebody of another yard, or who left, by user name."""
    if site not in _administered(person(request)):
        raise Http404
    return _given(request, None, GiveRole, site, {})


def _given(
    request: HttpRequest,
    seen: SeenAccount | None,
    command: type[Command],
    target: int | str,
    filled: dict[str, str],
) -> HttpResponse:
    who = person(request)
    use_time_zone_of(seen.held if seen else [str(target)])
    refusal: Refusal | None = None
    if request.method == "POST":
        try:
            submission = submission_of(request)
            given = convert_texts(read_form(command, request.POST), command)
            perform(given, actor=who, target=target, submission=submission)
        except Refusal as no:
            refusal = no
        else:
            if issubclass(command, OPENING):
                return opened_page(request, opener_of(submission.id))
            return redirect("account", seen.person.pk) if seen else redirect("people")
    reader = reader_of(who)
    page = {
        "account": seen.person if seen else None,
        "command": in_words(command, reader),
        "command_id": request.POST.get("command") or new_command(),
        "fields": shown_fields(command, NO_UNIT, request.POST, filled, reader),
        "refusal": shown_refusal(refusal, request) if refusal else None,
    }
    return render(request, "people/command.html", page, status=409 if refusal else 200)
