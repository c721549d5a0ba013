"""The demo's dealership: two yards, people, instruments, models, tractors and procedures."""

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
        sites.open_site(
            founder=administrator,
            command=Command(),
            code=code,
            name=name,
            time_zone=zone,
            dealer=DEALER,
        )
    report("two yards opened")
    technician, second, manager, sales, auditor = (_staff(administrator, *row) for row in STAFF)
    report(f"{len(STAFF) + 1} people enrolled")
    for path in sorted((FIXTURES / "models").rglob("*.yaml")):
        models.publish_model(
            actor=administrator, command=Command(), text=yaml_files.read_document(path)
        )
    report("models and tractors published")
    report(f"{_instruments(administrator)} instruments registered")
    for path in sorted((FIXTURES / "procedures").glob("*-r1.yaml")):
        procedures.publish_procedure(
            actor=administrator, command=Command(), text=yaml_files.read_document(path)
        )
    report("procedures checked and in force")
    return Crew(technician, second, manager, sales, auditor, administrator)


def publish_revision(crew: Crew, name: str) -> None:
    """Bring a later revision of a procedure into force."""
    path = FIXTURES / "procedures" / f"{name}.yaml"
    procedures.publish_procedure(
        actor=crew.administrator, command=Command(), text=yaml_files.read_document(path)
    )


def _enroll(username: str, printed_name: str) -> Person:
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
    yards: tuple[str, ...],
    roles: tuple[Role, ...],
) -> Person:
    person = _enroll(username, printed_name)
    for site in yards:
        for role in roles:
            sites.add_member(
                actor=administrator, command=Command(), site=site, person=person, role=role
            )
    return person


def _instruments(administrator: Person) -> int:
    shift = date.today() - WRITTEN_FOR
    rows = instruments.load_instruments(yaml_files.read_document(FIXTURES / "instruments.yaml"))
    for site, facts in rows:
        instruments.record_instrument(
            actor=administrator,
            command=Command(),
            site=site,
            facts=_shifted(facts, shift),
            reason="registered for the demonstration",
        )
    return len(rows)


def _shifted(facts: InstrumentFacts, shift: timedelta) -> InstrumentFacts:
    """The instrument with its calibration dates moved by a number of days."""
    dates = {
        name: (date.fromisoformat(getattr(facts, name)) + shift).isoformat()
        for name in ("calibrated", "due")
        if getattr(facts, name)
    }
    return msgspec.structs.replace(facts, **dates)
