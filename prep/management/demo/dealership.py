"""The dealership: two yards, their people, instruments, models, tractors and procedures."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

import msgspec
from django.conf import settings

from prep.actions import instruments, models, people, procedures, sites, yaml_files
from prep.actions.write_path import Command
from prep.models import Person
from prep.record.facts import InstrumentFacts
from prep.record.roles import Role

FIXTURES = Path(settings.BASE_DIR) / "fixtures"
DEALER = "Invented Acres Implement Co."
PASSWORD = "invented-field-gate"
PIN = "2468"

# The day the fixtures' calibration dates were written for; they move along with the calendar.
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
ADMINISTRATOR = ("ada", "Ada Wrenfield")


@dataclass(frozen=True)
class Crew:
    """The people of the demo."""

    technician: Person
    second: Person
    manager: Person
    sales: Person
    auditor: Person
    administrator: Person


def build(say: Callable[[str], None]) -> Crew:
    """Found the dealership, saying what was done; gives its crew."""
    administrator = _enrol(*ADMINISTRATOR)
    for code, name, zone in SITES:
        sites.open_site(
            founder=administrator,
            command=Command(),
            code=code,
            name=name,
            time_zone=zone,
            dealer=DEALER,
        )
    say("two yards opened")
    technician, second, manager, sales, auditor = (_staff(administrator, *row) for row in STAFF)
    say(f"{len(STAFF) + 1} people enrolled")
    for path in sorted((FIXTURES / "models").rglob("*.yaml")):
        models.publish_model(
            actor=administrator, command=Command(), text=yaml_files.read_document(path)
        )
    say("models and tractors published")
    say(f"{_instruments(administrator)} instruments registered")
    for path in sorted((FIXTURES / "procedures").glob("*-r1.yaml")):
        procedures.publish_procedure(
            actor=administrator, command=Command(), text=yaml_files.read_document(path)
        )
    say("procedures checked and in force")
    return Crew(technician, second, manager, sales, auditor, administrator)


def publish_revision(crew: Crew, name: str) -> None:
    """Bring a later revision of a procedure into force."""
    path = FIXTURES / "procedures" / f"{name}.yaml"
    procedures.publish_procedure(
        actor=crew.administrator, command=Command(), text=yaml_files.read_document(path)
    )


def _enrol(username: str, printed_name: str) -> Person:
    return people.enrol(
        username=username,
        printed_name=f"{printed_name} (invented)",
        password=PASSWORD,
        pin=PIN,
    )


def _staff(
    administrator: Person,
    username: str,
    printed_name: str,
    at: tuple[str, ...],
    roles: tuple[Role, ...],
) -> Person:
    person = _enrol(username, printed_name)
    for site in at:
        for role in roles:
            sites.add_member(
                actor=administrator, command=Command(), site=site, person=person, role=role
            )
    return person


def _instruments(administrator: Person) -> int:
    later = date.today() - WRITTEN_FOR
    rows = instruments.load_instruments(yaml_files.read_document(FIXTURES / "instruments.yaml"))
    for site, facts in rows:
        instruments.record_instrument(
            actor=administrator,
            command=Command(),
            site=site,
            facts=_moved(facts, later),
            reason="registered for the demonstration",
        )
    return len(rows)


def _moved(facts: InstrumentFacts, later: timedelta) -> InstrumentFacts:
    """The instrument with its calibration dates moved along with the calendar."""
    dates = {
        name: (date.fromisoformat(getattr(facts, name)) + later).isoformat()
        for name in ("calibrated", "due")
        if getattr(facts, name)
    }
    return msgspec.structs.replace(facts, **dates)
