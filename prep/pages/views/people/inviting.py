"""The page that invites a person to a yard."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render

from prep.actions.people import opener_of
from prep.actions.perform import perform
from prep.pages.command_form import read_form, shown_fields
from prep.pages.commands import in_words
from prep.pages.forms import new_command, person, signed_in, submission_of, use_time_zone_of
from prep.pages.refusals import shown_refusal
from prep.pages.views.people.account import NO_UNIT
from prep.pages.views.people.opened import opened_page
from prep.queries.people import sites_of
from prep.queries.readers import reader_of
from prep.queries.sites import named_sites
from prep.record.person.commands.invitations import InvitePerson
from prep.record.refusal import Refusal
from prep.record.struct_errors import convert_texts


@signed_in
def invite(request: HttpRequest, site: str) -> HttpResponse:
    """Show the form to invite somebody, or invite them and show the link and the code."""
    who = person(request)
    if not InvitePerson.permission.roles & sites_of(who).get(site, frozenset()):
        raise Http404
    use_time_zone_of([site])
    refusal: Refusal | None = None
    if request.method == "POST":
        try:
            submission = submission_of(request)
            given = convert_texts(read_form(InvitePerson, request.POST), InvitePerson)
            perform(given, actor=who, target=site, submission=submission)
        except Refusal as no:
            refusal = no
        else:
            return opened_page(request, opener_of(submission.id))
    reader = reader_of(who)
    filled = {"language": who.language, "units": who.units}
    page = {
        "yard": named_sites([site])[0],
        "command": in_words(InvitePerson, reader),
        "command_id": request.POST.get("command") or new_command(),
        "fields": shown_fields(InvitePerson, NO_UNIT, request.POST, filled, reader),
        "refusal": shown_refusal(refusal, request) if refusal else None,
    }
    return render(request, "people/invite.html", page, status=409 if refusal else 200)
