"""Tokens of programs: one's own, the yard's, system accounts; issue and revoke."""

from collections.abc import Iterable
from typing import Any
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from prep.actions.perform import perform
from prep.actions.submission import Outcome
from prep.models import Person, Token
from prep.pages.command_form import read_form, shown_fields
from prep.pages.commands import in_words
from prep.pages.forms import new_command, person, signed_in, submission_of, use_time_zone_of
from prep.pages.refusals import shown_refusal
from prep.pages.views.people.account import NO_UNIT
from prep.queries.lists.sites import state_of
from prep.queries.people import sites_of
from prep.queries.readers import reader_of
from prep.queries.sites import named_sites
from prep.queries.tokens import systems_at, tokens_seen_by
from prep.record.command import Command
from prep.record.person.commands.systems import AddSystem
from prep.record.refusal import Refusal
from prep.record.roles import Role
from prep.record.struct_errors import convert_texts
from prep.record.token.commands import IssueSystemToken, IssueToken, RevokeToken
from prep.record.token.scopes import OF_SYSTEMS, Scope
from prep.words.permissions import scope_explanation, scope_text
from prep.words.reader import Reader
from prep.words.yards.token_states import token_state


@signed_in
def tokens(request: HttpRequest) -> HttpResponse:
    """Show a person's tokens, and an administrator those of their yards with the programs there."""
    who = person(request)
    held, reader = sites_of(who), reader_of(who)
    use_time_zone_of(held)
    shown = [_shown(row, who, reader) for row in tokens_seen_by(who)]
    administered = [site for site, roles in held.items() if Role.ADMINISTRATOR in roles]
    page = {
        "own": [one for one in shown if one["own"]],
        "others": [one for one in shown if not one["own"]],
        "yards": [(site, systems_at(site.code)) for site in named_sites(administered)],
        "may_issue": bool(held),
    }
    return render(request, "tokens/tokens.html", page)


def _shown(row: Token, who: Person, reader: Reader) -> dict[str, Any]:
    state = state_of(row.revoked, row.expires)
    return {
        "row": row,
        "own": row.person_id == who.pk,
        "state": state,
        "state_text": token_state(state, reader),
        "scopes": [scope_text(Scope(scope), reader) for scope in row.scopes],
    }


@signed_in
def issue(request: HttpRequest) -> HttpResponse:
    """Show the form to issue oneself a token, or issue it and show it once."""
    sites = named_sites(sites_of(person(request)))
    more = {"site": request.POST.get("site", "")}
    return _given(request, IssueToken, None, {"days": "90"}, more, sites=sites)


@signed_in
def issue_to_system(request: HttpRequest, username: str) -> HttpResponse:
    """The same for a program's account."""
    filled = {"days": "90", "system": username}
    return _given(request, IssueSystemToken, None, filled, {"system": username})


@signed_in
def add_system(request: HttpRequest, site: str) -> HttpResponse:
    """Show the form to add a program's account to a yard, or add it."""
    if Role.ADMINISTRATOR not in sites_of(person(request)).get(site, frozenset()):
        raise Http404
    return _given(request, AddSystem, site, {}, {})


@signed_in
def revoke(request: HttpRequest, token: UUID) -> HttpResponse:
    """Ask whether a token is to be revoked, or revoke it."""
    row = next((one for one in tokens_seen_by(person(request)) if one.pk == token), None)
    if row is None:
        raise Http404
    return _given(request, RevokeToken, token, {}, {}, about=str(row))


def _given(
    request: HttpRequest,
    command: type[Command],
    target: UUID | str | None,
    filled: dict[str, str],
    more: dict[str, Any],
    **shown: Any,
) -> HttpResponse:
    who = person(request)
    reader, refusal = reader_of(who), None
    if request.method == "POST":
        try:
            values = {**read_form(command, request.POST), **more}
            given = convert_texts(values, command)
            done = perform(given, actor=who, target=target, submission=submission_of(request))
        except Refusal as no:
            refusal = no
        else:
            return _once(request, done) if command.creates else redirect("tokens")
    page = {
        "command": in_words(command, reader),
        "command_id": request.POST.get("command") or new_command(),
        "fields": shown_fields(command, NO_UNIT, request.POST, filled, reader),
        "scopes": [
            (scope_text(one, reader), scope_explanation(one, reader)) for one in _scopes_of(command)
        ]
        if command.creates
        else [],
        "refusal": shown_refusal(refusal, request) if refusal else None,
        "chosen": more.get("site", ""),
        **shown,
    }
    return render(request, "tokens/command.html", page, status=409 if refusal else 200)


def _scopes_of(command: type[Command]) -> Iterable[Scope]:
    """The scopes a token of the command's may have."""
    return OF_SYSTEMS if command is IssueSystemToken else Scope


def _once(request: HttpRequest, done: Outcome) -> HttpResponse:
    """The page that shows a new token; loaded again it has none to show."""
    return render(request, "tokens/issued.html", {"token": done.shown_once})
