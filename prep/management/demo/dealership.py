"""The demo's dealership: two yards, people, instruments, models, tractors and procedures."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

import msgspec
from django.conf import settings
from django.utils import timezone

from prep.actions import people, sites
from prep.actions.perform import perform
from prep.actions.submission import Submission
from prep.management import yaml_files
from prep.models import Person
from prep.record.instrument.commands import Instrument, RecordInstrument
from prep.record.manufacturer.commands import AddManufacturer
from prep.record.model.commands import PublishModel
from prep.record.person.commands.access import SuspendPerson
from prep.record.person.commands.cards import RecordCard
from prep.record.person.commands.invitations import InvitePerson
from prep.record.procedure.commands import PublishProcedure
from prep.record.roles import Role
from prep.record.site.commands import AddKeeper, GiveRole, OpenSite

FIXTURES = Path(settings.BASE_DIR) / "fixtures"
DEALER = "Invented Acres Implement Co."
PASSWORD = "invented-field-gate"
PIN = "2468"

# The day for which the fixtures' calibration dates were written. The demo shifts them to today.
WRITTEN_FOR = date(2026, 11, 25)

SITES = (
    ("north", "North yard", "America/Chicago"),
    ("south", "South yard", "America/Chicago"),
)
STAFF = (
    ("tess", "Tess Quillby", ("north", "south"), (Role.TECHNICIAN,)),
    ("noel", "Noel Ferndown", ("north", "south"), (Role.TECHNICIAN,)),
    ("mara", "Mara Oxleaze", ("north", "south"), (Role.SERVICE_MANAGER,)),
    ("sid", "Sid Larkrise", ("north", "south"), (Role.SALES,)),
    ("ruth", "Ruth Tallowby", ("north", "south"), (Role.AUDITOR,)),
)
# Invented, like everything here.
MANUFACTURERS = (
    "Dunmarrow Motors",
    "Hollowmere Works",
    "Larkfield Implements",
    "Pebblecroft",
    "Quillmoor Tractors",
)
KEEPER = "records@accountant.example"  # invented; the mails go to a folder
ADMINISTRATOR = ("ada", "Ada Wrenfield")


@dataclass(frozen=True)
class Crew:
    """The demo's people, by role."""

    technician: Person
    second: Person
    manager: Person
    sales: Person
    auditor: Person
    administrator: Person


def build(report: Callable[[str], None]) -> Crew:
    """Create the dealership, reporting each part; returns its people."""
    administrator = _enroll(*ADMINISTRATOR)
    for code, name, zone in SITES:
        site = OpenSite(site=code, name=name, time_zone=zone, dealer=DEALER)
        sites.open_site(site, founder=administrator)
    report("two yards opened")
    technician, second, manager, sales, auditor = (_staff(administrator, *row) for row in STAFF)
    report(f"{len(STAFF) + 1} people enrolled")
    _more_people(administrator, technician, second)
    report("one more invited, one suspended; training cards on record")
    perform(AddKeeper(email=KEEPER), actor=administrator, target=SITES[0][0])
    report("an accountant outside keeps the checkpoints")
    for name in MANUFACTURERS:
        perform(AddManufacturer(name=name), actor=administrator)
    report(f"{len(MANUFACTURERS)} manufacturers in the list")
    for path in sorted((FIXTURES / "models").rglob("*.yaml")):
        model = PublishModel(document=yaml_files.read_text(path))
        perform(model, actor=administrator, submission=_before_the_units_came())
    report("models and tractors published")
    report(f"{_instruments(administrator)} instruments registered")
    for path in sorted((FIXTURES / "procedures").glob("*-r1.yaml")):
        procedure = PublishProcedure(document=yaml_files.read_text(path))
        perform(procedure, actor=administrator, submission=_before_the_units_came())
    report("procedures checked and in force")
    return Crew(technician, second, manager, sales, auditor, administrator)


def _before_the_units_came() -> Submission:
    """What is sent now and happened before the first unit of the demonstration arrived."""
    return Submission(happened=timezone.now() - timedelta(days=50))


def publish_revision(crew: Crew, name: str) -> None:
    """Bring a later revision of a procedure into force."""
    path = FIXTURES / "procedures" / f"{name}.yaml"
    perform(PublishProcedure(document=yaml_files.read_text(path)), actor=crew.administrator)


def _enroll(username: str, printed_name: str) -> Person:
    return people.enroll(
        username=username,
        printed_name=f"{printed_name} (invented)",
        password=PASSWORD,
        pin=PIN,
    )


def _staff(
    administrator: Person,
    username: str,
    printed_name: str,
    yards: tuple[str, ...],
    roles: tuple[Role, ...],
) -> Person:
    person = _enroll(username, printed_name)
    for site in yards:
        for role in roles:
            perform(GiveRole(person=person.username, role=role), actor=administrator, target=site)
    return person


def _more_people(administrator: Person, technician: Person, second: Person) -> None:
    """Training cards, one of which ends soon; somebody invited, and somebody suspended."""
    today = timezone.localdate()
    cards = (
        (technician, "tire", "", "INV-0042", 400),
        (technician, "forklift", "", "INV-0107", 20),
        (technician, "manufacturer-course", "Larkfield Implements", "INV-0311", 700),
        (second, "forklift", "", "INV-0108", -12),
    )
    for person, kind, manufacturer, number, days in cards:
        card = RecordCard(
            kind=kind,  # type: ignore[arg-type]  # checked with the command
            manufacturer=manufacturer,
            number=number,
            valid_until=(today + timedelta(days=days)).isoformat(),
        )
        perform(card, actor=administrator, target=person.pk)
    inviting = InvitePerson(
        username="wren",
        name="Wren Haddock (invented)",
        roles=(Role.TECHNICIAN,),
        language="es",
        units="metric",
        numbers="comma",
    )
    perform(inviting, actor=administrator, target=SITES[0][0])
    suspended = _staff(administrator, "piet", "Piet Marlstone", ("north",), (Role.TECHNICIAN,))
    reason = "Left his tablet unlocked at a farm (invented)"
    perform(SuspendPerson(reason=reason), actor=administrator, target=suspended.pk)


def _instruments(administrator: Person) -> int:
    shift = date.today() - WRITTEN_FOR
    rows = yaml_files.read_instruments(FIXTURES / "instruments.yaml")
    for site, instrument in rows:
        perform(
            RecordInstrument(
                site=site,
                instrument=_shifted(instrument, shift),
                reason="registered for the demonstration",
            ),
            actor=administrator,
            submission=_before_the_units_came(),
        )
    return len(rows)


def _shifted(facts: Instrument, shift: timedelta) -> Instrument:
    """The instrument with its calibration dates moved by a number of days."""
    dates = {
        name: (date.fromisoformat(getattr(facts, name)) + shift).isoformat()
        for name in ("calibrated", "due")
        if getattr(facts, name)
    }
    return msgspec.structs.replace(facts, **dates)
