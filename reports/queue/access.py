"""Who may open the file of a document: one rule for pages, API and lists.

A document of a unit is for the unit's yard; one of several units or of none for whoever asked for
it, as long as they may still ask. One with personal data in it is for those who may see these.
"""

from collections.abc import Iterable
from typing import Any

from django.core.files import File

from prep.actions.readings.personal import How, Shown, note
from prep.models import Person, Site
from prep.queries.people import sites_of
from prep.queries.units import seen_by
from prep.record.personal import may_see, permit_seeing
from prep.record.refusal import Refusal
from prep.record.roles import Role
from reports.holdings import is_over, personal_in
from reports.models import DocumentRequest
from reports.queue.submit import open_file
from reports.registry import kind_named


def open_for(person: Person, request: DocumentRequest, how: How) -> File:  # type: ignore[type-arg]  # generic in the stubs only
    """The finished file, opened for a person, and noted where personal data are in it.

    Raises Refusal where the person may not, and where there is no such file.
    """
    at_each = roles_for(person, request)
    sorts = {held.sort for held in personal_in(request)}
    for sort in sorts:
        for roles in at_each:
            permit_seeing(sort, roles)
    if is_over(request):
        raise Refusal("document-erased", number=request.number)
    file = open_file(request)
    if sorts:
        try:
            sites = sites_covered(request)
            note(str(person.pk), str(person), Shown(request.kind, how, sites, str(request.pk)))
        except BaseException:  # what cannot be noted is not shown
            file.close()
            raise
    return file


def kept_by_browsers(request: DocumentRequest) -> str:
    """Cache-Control of a document's file: one without personal data may be asked for by its tag."""
    return "no-store" if personal_in(request) else "private,no-cache"


def may_open(request: DocumentRequest, roles: frozenset[Role]) -> bool:
    """Whether somebody with these roles at a unit's yard may open a document of it."""
    return all(may_see(held.sort, roles) for held in personal_in(request))


def roles_for(person: Person, request: DocumentRequest) -> list[frozenset[Role]]:
    """A person's roles at each yard of a document; Refusal where it is none of theirs."""
    if request.unit_id:
        return [seen_by(person, request.unit_id).roles]
    if request.person_id != person.pk:
        raise Refusal("no-such-document")
    held = sites_of(person)
    sites = sites_covered(request)
    at_each = [held.get(site, frozenset()) for site in sites] or [_anywhere(held.values())]
    asked_by = kind_named(request.kind).asked_by
    if not all(roles & asked_by for roles in at_each):
        raise Refusal("not-allowed", roles=tuple(sorted(asked_by)))
    return at_each


def sites_covered(request: DocumentRequest) -> tuple[str, ...]:
    """Codes of the yards a document is of; none for one of the whole service."""
    stated: dict[str, Any] = request.parameters
    sites = Site.objects.order_by("code")
    if request.unit_id:
        sites = sites.filter(units=request.unit_id)
    elif stated.get("sites"):
        return tuple(stated["sites"])
    elif stated.get("units"):
        sites = sites.filter(units__in=stated["units"])
    else:
        return ()
    return tuple(sites.values_list("code", flat=True).distinct())


def _anywhere(held: Iterable[frozenset[Role]]) -> frozenset[Role]:
    return frozenset(role for roles in held for role in roles)
