"""What every form of every page has: who asks, for which unit, and a command that counts once."""

from uuid import UUID, uuid4

from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpRequest, QueryDict

from prep.actions.writing import Command
from prep.models import Person
from prep.queries.units import Seen, seen_by
from prep.record.refusal import Refusal

signed_in = login_required


def person(request: HttpRequest) -> Person:
    """Whoever is signed in; only views behind `signed_in` ask."""
    assert isinstance(request.user, Person)
    return request.user


def unit_seen(request: HttpRequest, unit: UUID) -> Seen:
    """A unit this person may see; for anybody else there is no such page."""
    try:
        return seen_by(person(request), unit)
    except Refusal as no:
        raise Http404(no.text) from no


def new_command() -> str:
    """The id a form carries, made when the page is drawn: sent twice, it counts once."""
    return str(uuid4())


def command_of(request: HttpRequest) -> Command:
    """The command a form stands for. A form without a usable id is a new wish."""
    try:
        return Command(UUID(request.POST.get("command", "")), device="page")
    except ValueError:
        return Command(device="page")


def text_of(request: HttpRequest, name: str) -> str:
    """A field as typed, without the white space around it."""
    return request.POST.get(name, "").strip()


class Sent:
    """What a form sent, as text."""

    def __init__(self, form: QueryDict) -> None:
        self._form = form

    def __getitem__(self, name: str) -> str:
        return str(self._form[name]).strip()

    def __contains__(self, name: str) -> bool:
        return name in self._form

    def get(self, name: str) -> str:
        """A field, empty where it was not sent."""
        return str(self._form.get(name, "")).strip()

    def getlist(self, name: str) -> list[str]:
        """Every value of a field that may have several."""
        return [str(value) for value in self._form.getlist(name)]
