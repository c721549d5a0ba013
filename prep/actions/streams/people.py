"""The streams of people: each change of an account, and its index rows."""

from django.db.models import QuerySet

from prep.actions.accounts.sessions import sign_out_everywhere
from prep.actions.streams.reference import ReferenceStream
from prep.actions.streams.stream import Change, Loaded, Standing
from prep.models import Card, Event, Invitation, Person
from prep.queries.people import sites_of, yards_of
from prep.queries.sites import named_sites
from prep.record.command import Command
from prep.record.log.reference_event import ReferenceEvent
from prep.record.person import events as e
from prep.record.person.person_command import PersonCommand
from prep.record.person.state import NOBODY, PersonState, Status, after, fold
from prep.record.reference_events import decode
from prep.record.refusal import Refusal
from prep.record.roles import Role

# After these nobody who was signed in as the person is so any more.
ENDS_SIGN_INS = (
    e.PersonSuspended,
    e.PersonLeft,
    e.SignedOutEverywhere,
    e.InvitationUsed,
    e.PasswordChanged,
)
NUMBERS = {"": None, "point": False, "comma": True}


class PersonStream(ReferenceStream):
    """A person: the account as it was made, and each change of it."""

    name = "person"
    table = Person

    def key(self, target: str) -> int:
        """The person's id."""
        return int(target)

    def named(self, target: str) -> str:
        """An id as it is written; of what is none, as of one that nobody has."""
        if not (target.isascii() and target.isdecimal() and len(target) < 18):
            raise Refusal("no-such-person-id")
        return str(int(target))

    def standing(self, person: Person, target: str, command: Command) -> Standing:
        """The roles at the yards where the other person works too; for a command that hands out
        access those held at every yard of theirs. Three queries.
        """
        assert isinstance(command, PersonCommand)
        own = target == str(person.pk)
        yards = yards_of(int(self.named(target)))
        held = sites_of(person) if person.is_active else {}
        shared = {site: held[site] for site in yards if site in held}
        if not (shared or own):
            raise Refusal("no-such-person-id")
        anywhere = frozenset(role for roles in shared.values() for role in roles)
        if command.at_every_yard and anywhere & command.permission.roles:
            _check_everywhere(command, yards, held)
        may = [site for site in sorted(shared) if shared[site] & command.permission.roles]
        return Standing(next(iter(may), ""), anywhere, own=own)

    def load(self, target: str, version: int | None = None) -> Loaded:
        """The account after all its events, or those up to a version."""
        events = Event.objects.filter(stream=self.name, stream_id=target).order_by("version")
        if version is not None:
            events = events.filter(version__lte=version)
        rows = list(events.values_list("body", "version", "recorded"))
        if not rows:
            return Loaded(NOBODY, 0, None)
        _, last, recorded = rows[-1]
        return Loaded(fold(decode(body) for body, _, _ in rows), last, recorded)

    def apply(self, loaded: Loaded, change: Change) -> None:
        """Write the account's row, and those of its invitations and cards."""
        for event in change.events:
            assert isinstance(event, ReferenceEvent)
            loaded.state = after(loaded.state, event)
        loaded.version += len(change.events)
        loaded.recorded = change.context.recorded
        person = Person.objects.filter(pk=self.key(change.target))
        write_rows(person, loaded.state)
        if any(isinstance(event, ENDS_SIGN_INS) for event in change.events):
            sign_out_everywhere(person.get())


def _check_everywhere(
    command: PersonCommand, yards: list[str], held: dict[str, frozenset[Role]]
) -> None:
    """Refuse where one of the person's yards is not among those where the role is held."""
    lacking = [site for site in yards if not held.get(site, frozenset()) & command.permission.roles]
    if lacking:
        raise Refusal(
            "not-allowed-everywhere",
            roles=tuple(sorted(command.permission.roles)),
            sites=tuple(site.name for site in named_sites(lacking)),
        )


def row_of(state: PersonState) -> dict[str, object]:
    """The columns of a person's row that follow from the events."""
    return {
        "username": state.username,
        "printed_name": state.name,
        "status": state.status.value,
        "is_active": state.status is Status.ACTIVE,
        "language": state.language,
        "units": state.units,
        "decimal_comma": NUMBERS[state.numbers],
    }


def write_rows(person: QuerySet[Person], state: PersonState) -> None:
    """Write what follows from the events into the rows of a person."""
    person.update(**row_of(state))
    for key, invited in state.invitations.items():
        row = Invitation.objects.filter(pk=key).exclude(state=invited.state.value)
        row.update(state=invited.state.value, mail_after=None, mail_failing=None)
    for key, card in state.cards.items():
        Card.objects.filter(pk=key).exclude(withdrawn=card.withdrawn).update(
            withdrawn=card.withdrawn
        )
