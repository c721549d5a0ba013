"""Who outside keeps the checkpoints: the addresses of a yard, added and removed."""

from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST

from prep.actions.perform import perform
from prep.pages.forms import person, signed_in, submission_of, text_of
from prep.queries.people import roles_at
from prep.queries.readers import reader_of
from prep.record.command import Command
from prep.record.refusal import Refusal
from prep.record.site.commands import AddKeeper, RemoveKeeper
from prep.record.struct_errors import convert
from prep.words.refusals import refusal_text


@signed_in
@require_POST
def add_keeper(request: HttpRequest, site: str) -> HttpResponse:
    """Send the daily checkpoint to an address."""
    typed = {"email": text_of(request, "email"), "language": text_of(request, "language")}
    return _carried_out(request, site, AddKeeper, typed)


@signed_in
@require_POST
def remove_keeper(request: HttpRequest, site: str, keeper: UUID) -> HttpResponse:
    """Send no more to an address."""
    return _carried_out(request, site, RemoveKeeper, {"keeper": str(keeper)})


def _carried_out(
    request: HttpRequest, site: str, command: type[Command], typed: dict[str, str]
) -> HttpResponse:
    if not roles_at(person(request), site):
        raise Http404
    try:
        perform(
            convert(typed, command),
            actor=person(request),
            target=site,
            submission=submission_of(request),
        )
    except Refusal as no:
        text = refusal_text(no, reader_of(request.user))
        return render(request, "keepers.html", {"refused": text}, status=409)
    return redirect("audit")
