"""What tests of people do all day: invite somebody, join, look at the account."""

from uuid import uuid4

from prep.actions import people
from prep.actions.accounts.invitations import Opener
from prep.actions.perform import perform
from prep.actions.sites import open_site
from prep.actions.streams.all_streams import STREAMS
from prep.actions.submission import Submission
from prep.models import Person
from prep.record.command import Command
from prep.record.person.commands.invitations import InvitePerson
from prep.record.person.state import PersonState
from prep.record.roles import Role
from prep.record.site.commands import GiveRole, OpenSite
from tests.cast import Yard

LONG = "three invented plain words"
PIN = "8317"


def invite(yard: Yard, username: str = "jo", **more: object) -> tuple[Person, Opener]:
    """Otto invites somebody as a technician; the account, and what opens it."""
    values = {"name": "Jo Invented", "roles": (Role.TECHNICIAN,), **more}
    inviting = InvitePerson(username=username, **values)  # type: ignore[arg-type]
    command = Submission()
    perform(inviting, actor=yard.otto, target=yard.site, submission=command)
    opened = people.opener_of(command.id)
    return opened.person, opened.opener


def secret_of(opener: Opener) -> str:
    """The secret part of a link."""
    return opener.link.rpartition("/")[2]


def opener_after(command: Command, *, actor: Person, person: Person) -> Opener:
    """What a command on a person made to open the account."""
    submission = Submission(id=uuid4())
    perform(command, actor=actor, target=person.pk, submission=submission)
    return people.opener_of(submission.id).opener


def join(typed: str, password: str = LONG, pin: str = PIN) -> Person:
    """Use a link or a code."""
    return people.join(typed, password=password, pin=pin, language="es")


def state_of(person: Person) -> PersonState:
    """The account by its events."""
    state = STREAMS["person"].load(str(person.pk)).state
    assert isinstance(state, PersonState)
    return state


def south(yard: Yard) -> Person:
    """Another yard, with an administrator of its own who is nobody in the north."""
    site = OpenSite(site="south", name="South yard", time_zone="America/Chicago", dealer="Invented")
    open_site(site, founder=yard.outsider)
    return yard.outsider


def works_in_the_south_too(yard: Yard, person: Person, role: Role = Role.TECHNICIAN) -> None:
    """The administrator of the south gives somebody of the north a role."""
    perform(GiveRole(person=person.username, role=role), actor=yard.outsider, target="south")
