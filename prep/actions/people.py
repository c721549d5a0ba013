"""Actions on people that are more than one command: a secret is judged first, or shown after."""

from dataclasses import dataclass
from uuid import UUID

from django.db import transaction
from django.utils import timezone

from prep.actions.accounts.invitations import (
    Opener,
    invitation_id,
    is_on_record,
    opened_by,
    opener,
)
from prep.actions.log import CONSOLE
from prep.actions.perform import perform
from prep.actions.streams.all_streams import STREAMS
from prep.actions.submission import Submission
from prep.models import Invitation, Person
from prep.record.person.commands.access import EnrollPerson
from prep.record.person.commands.invitations import UseInvitation, usable
from prep.record.person.commands.settings import ChangePassword, ChangePin, Prefer
from prep.record.person.state import PersonState
from prep.record.refusal import Refusal
from prep.record.roles import Actor
from prep.words.reader import LANGUAGES


@dataclass(frozen=True)
class Opened:
    """A person, and the link and the code that open their account."""

    person: Person
    opener: Opener


def enroll(*, username: str, printed_name: str, password: str, pin: str) -> Person:
    """Add a person who can sign in and sign; roles are given at each site."""
    if not printed_name.strip():
        raise Refusal("name-missing", field="printed_name")
    if Person.objects.filter(username__iexact=username).exists():
        raise Refusal("name-taken", field="username", username=username)
    with transaction.atomic():
        person = Person.objects.create(username=username, printed_name=printed_name)
        enrolling = EnrollPerson(
            username=username, name=printed_name, password=password, new_pin=pin
        )
        perform(enrolling, actor=_as(person), target=person.pk)
    person.refresh_from_db()
    return person


def opener_of(command: UUID) -> Opened:
    """Whose account a command made a link and a code for, and both; the same ones every time."""
    row = Invitation.objects.select_related("person").get(pk=invitation_id(command))
    return Opened(row.person, opener(row))


def invited(typed: str) -> Invitation:
    """The invitation of a link's secret or a typed code, open; Refusal that says why it is not."""
    row = opened_by(typed)
    state: PersonState = STREAMS["person"].load(str(row.person_id)).state
    known = usable(state, str(row.pk), timezone.now())
    if not is_on_record(row, known):
        raise Refusal("no-such-invitation", field="code")
    return row


def join(
    typed: str, *, password: str, pin: str, language: str, submission: Submission | None = None
) -> Person:
    """Open an account by a link's secret or a code: the invited person chooses password and PIN."""
    row = invited(typed)
    using = UseInvitation(
        invitation=row.pk,
        password=password,
        new_pin=pin,
        language=language,  # type: ignore[arg-type]  # checked with the command
    )
    perform(using, actor=_as(row.person), target=row.person_id, submission=submission)
    row.person.refresh_from_db()
    return row.person


def choose_language(*, actor: Person, language: str) -> None:
    """Set the language that pages are shown in to this person."""
    if language not in LANGUAGES:
        raise Refusal("no-such-language", field="language")
    if language != actor.language:
        perform(Prefer(language=language), actor=actor, target=actor.pk)  # type: ignore[arg-type]
        actor.language = language


def change_password(*, actor: Person, password: str, new_password: str) -> None:
    """Set the person's own password, confirmed by the present one."""
    _confirm(actor, password)
    perform(ChangePassword(password=new_password), actor=actor, target=actor.pk)
    actor.refresh_from_db()


def change_pin(*, actor: Person, password: str, pin: str) -> None:
    """Set the person's own PIN, confirmed by their password."""
    _confirm(actor, password)
    perform(ChangePin(new_pin=pin), actor=actor, target=actor.pk)
    actor.refresh_from_db()


def set_password(person: Person, password: str) -> None:
    """Set somebody's password, at the console: whoever runs commands there is trusted with it."""
    perform(ChangePassword(password=password), actor=CONSOLE, target=person.pk)


def _confirm(person: Person, password: str) -> None:
    if not person.check_password(password):
        raise Refusal("password-wrong", field="password")


def _as(person: Person) -> Actor:
    """A person as the actor of what they do without being signed in."""
    return Actor(str(person.pk), str(person), frozenset())
