"""Actions on people that are more than one command: a secret is judged first, or shown after."""

from dataclasses import dataclass
from uuid import UUID

from django.db import transaction
from django.utils import timezone

from prep.actions.accounts import attempts, passwords, places
from prep.actions.accounts.attempts import Purpose
from prep.actions.accounts.invitations import (
    Opener,
    invitation_id,
    is_on_record,
    opened_by,
    opener,
)
from prep.actions.accounts.origin import HERE, Origin
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
        perform(enrolling, actor=CONSOLE, target=person.pk)
    person.refresh_from_db()
    return person


def opener_of(command: UUID) -> Opened:
    """Whose account a command made a link and a code for, and both; the same ones every time."""
    row = Invitation.objects.select_related("person").get(pk=invitation_id(command))
    return Opened(row.person, opener(row))


def invited(typed: str, origin: Origin = HERE) -> Invitation:
    """The open invitation of a link's secret or a typed code; Refusal that says why there is none.

    A guess costs an attempt of the address and the device it comes from.
    """
    row, state = _found(typed, origin)
    usable(state, str(row.pk), timezone.now())
    return row


def _found(typed: str, origin: Origin) -> tuple[Invitation, PersonState]:
    """An invitation, in whatever state, as the log knows it, and the account it opens."""
    taken = attempts.take(places.shared(Purpose.JOIN, origin), field="code")
    row = opened_by(typed)
    state: PersonState = STREAMS["person"].load(str(row.person_id)).state
    known = state.invitations.get(str(row.pk))
    if known is None or not is_on_record(row, known.invitation):
        raise Refusal("no-such-invitation", field="code")
    taken.give_back()
    return row, state


def join(
    typed: str,
    *,
    password: str,
    pin: str,
    language: str,
    submission: Submission | None = None,
) -> Person:
    """Open an account by a link's secret or a code: the invited person chooses password and PIN."""
    submission = submission or Submission()
    row, _ = _found(typed, submission.origin)
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


def change_password(*, actor: Person, password: str, new: str, origin: Origin = HERE) -> None:
    """Set the person's own password, confirmed by the one they have.

    Every sign-in of theirs ends, and no PIN switches to them before they give the new one.
    """
    passwords.confirm(actor, password, origin)
    perform(ChangePassword(password=new), actor=actor, target=actor.pk)
    actor.refresh_from_db()


def change_pin(*, actor: Person, password: str, pin: str, origin: Origin = HERE) -> None:
    """Set the person's own PIN, confirmed by their password."""
    passwords.confirm(actor, password, origin)
    perform(ChangePin(new_pin=pin), actor=actor, target=actor.pk)
    actor.refresh_from_db()


def set_password(person: Person, password: str) -> None:
    """Set somebody's password, at the console: whoever runs commands there is trusted with it."""
    perform(ChangePassword(password=password), actor=CONSOLE, target=person.pk)


def _as(person: Person) -> Actor:
    """A person as the actor of what they do without being signed in."""
    return Actor(str(person.pk), str(person), frozenset())
