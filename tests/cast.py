"""The small cast of the tests: one yard, five people, one model, two tractors, four instruments.

Everybody and everything here is invented. Whatever the cast has was made through the actions.
"""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from uuid import UUID

from prep.actions import buyers, instruments, models, people, procedures, sites
from prep.actions.unit import entries, flags, handovers, receiving, releases, sheets, steps
from prep.actions.write_path import Command, Outcome
from prep.models import Buyer, Person
from prep.queries.records import record_of
from prep.record.facts import InstrumentFacts
from prep.record.roles import Role
from prep.record.unit.commands.handovers import MUST_SHOW
from prep.record.unit.commands.releases import sheet_digest
from prep.record.unit.sheet import content_digest
from prep.record.unit.state import Record

DOCUMENTS = Path(__file__).parent / "documents"
PIN = "4711"
PASSWORD = "an invented long word"

WRENCH = InstrumentFacts(
    code="W-1",
    kind="torque wrench",
    name="Torque wrench W-1",
    quantity="torque",
    low="120 ft·lbf",
    high="600 ft·lbf",
    resolution="1 ft·lbf",
    percent_of_reading="1",
    calibrated="2026-01-10",
    due="2027-01-10",
    certificate="INV-001",
)
OVERDUE_WRENCH = InstrumentFacts(
    code="W-2",
    kind="torque wrench",
    name="Torque wrench W-2",
    quantity="torque",
    low="120 ft·lbf",
    high="600 ft·lbf",
    percent_of_reading="4",
    calibrated="2024-01-10",
    due="2025-01-10",
)
TAPE = InstrumentFacts(
    code="M-1",
    kind="tape measure",
    name="Tape M-1",
    quantity="length",
    low="0 in",
    high="300 in",
    resolution="1/16 in",
    absolute="1/32 in",
)
OVERDUE_TAPE = InstrumentFacts(
    code="M-2",
    kind="tape measure",
    name="Tape M-2",
    quantity="length",
    low="0 in",
    high="300 in",
    due="2025-06-01",
)


@dataclass
class Yard:
    """One yard with its people; the methods are what they do all day."""

    site: str
    ada: Person  # technician
    ben: Person  # technician
    mira: Person  # service manager
    sol: Person  # sales
    rhea: Person  # auditor
    otto: Person  # administrator, holds no other role
    outsider: Person
    serial: int = 0

    def receive(self, serial: str = "", *, model: str = "TC-12", **more: Any) -> UUID:
        """A unit received and of a known model."""
        self.serial += 1
        outcome = receiving.receive(
            actor=self.ada,
            command=Command(),
            site=self.site,
            maker="Larkfield",
            serial=serial or f"TC{self.serial:05d}",
            model=model,
            **more,
        )
        return outcome.unit

    def started(self, **more: Any) -> UUID:
        """A unit whose sheet is started."""
        unit = self.receive(**more)
        sheets.start(actor=self.ada, command=Command(), unit=unit)
        return unit

    def take(self, unit: UUID, step: str, line: str, text: str, **more: Any) -> Any:
        """Ada enters a reading. An Outcome whose first event is that reading, which is why tests

        may look at its fields without saying so to the type checker.
        """
        who = more.pop("actor", self.ada)
        command = more.pop("command", None) or Command()
        return entries.take(
            actor=who, command=command, unit=unit, step=step, line=line, text=text, **more
        )

    def check(self, unit: UUID, step: str, line: str, **more: Any) -> Outcome:
        """Ada answers a check."""
        who = more.pop("actor", self.ada)
        return entries.complete_check(
            actor=who,
            command=Command(),
            unit=unit,
            step=step,
            line=line,
            answer=more.pop("answer", True),
            **more,
        )

    def acknowledge(self, unit: UUID, step: str, actor: Person | None = None) -> Outcome:
        """Somebody reads the cautions of a step."""
        return steps.acknowledge(actor=actor or self.ada, command=Command(), unit=unit, step=step)

    def sign(self, unit: UUID, step: str, actor: Person | None = None) -> Outcome:
        """Somebody signs a step over what it holds now."""
        return steps.sign(
            actor=actor or self.ada,
            command=Command(),
            unit=unit,
            step=step,
            seen=seen(unit, step),
            pin=PIN,
        )

    def second(self, unit: UUID, step: str, actor: Person | None = None) -> Outcome:
        """Ben checks as second person."""
        return steps.check_as_second(
            actor=actor or self.ben,
            command=Command(),
            unit=unit,
            step=step,
            seen=seen(unit, step),
            pin=PIN,
        )

    def block_deck(self, unit: UUID) -> None:
        """The first step, done."""
        self.acknowledge(unit, "block")
        self.check(unit, "block", "blocked")
        self.sign(unit, "block")

    def torque_blades(self, unit: UUID, left: str = "450 ft lb", right: str = "450 ft lb") -> None:
        """The second step, done and checked."""
        self.acknowledge(unit, "blades")
        self.take(unit, "blades", "torque", left, position="left", instrument="W-1")
        self.take(unit, "blades", "torque", right, position="right", instrument="W-1")
        self.sign(unit, "blades")
        self.second(unit, "blades")

    def level(self, unit: UUID) -> None:
        """The third step, done."""
        self.take(unit, "pitch", "front", "4 in")
        self.take(unit, "pitch", "finish", "good")
        self.sign(unit, "pitch")

    def prepared(self) -> UUID:
        """A unit ready for stock."""
        unit = self.started()
        self.block_deck(unit)
        self.torque_blades(unit)
        self.level(unit)
        return unit

    def buyer(self) -> Buyer:
        """An invented buyer."""
        return buyers.add(
            actor=self.sol, command=Command(), site=self.site, name="Fen Farm (invented)"
        )

    def assign(self, unit: UUID, tractor: str = "T-90", buyer: Buyer | None = None) -> Outcome:
        """Sales means the unit for a buyer."""
        return buyers.assign(
            actor=self.sol,
            command=Command(),
            unit=unit,
            buyer=(buyer or self.buyer()).pk,
            tractor=tractor,
        )

    def match_tractor(self, unit: UUID) -> None:
        """The steps that depend on the tractor, done."""
        self.take(unit, "splines", "count", "6")
        self.sign(unit, "splines")
        self.take(unit, "drawbar", "distance", "14 in", instrument="M-1")
        self.sign(unit, "drawbar")

    def ready(self) -> UUID:
        """A unit ready for its buyer."""
        unit = self.prepared()
        self.assign(unit)
        self.match_tractor(unit)
        return unit

    def release(self, unit: UUID, actor: Person | None = None) -> Outcome:
        """Mira releases."""
        return releases.release(
            actor=actor or self.mira,
            command=Command(),
            unit=unit,
            seen=sheet_digest(record_of(unit)),
            pin=PIN,
        )

    def hand_over(self, unit: UUID) -> Outcome:
        """Sol hands over."""
        return handovers.hand_over(
            actor=self.sol,
            command=Command(),
            unit=unit,
            recipient="Wes Fen (invented)",
            relation="owner",
            language="English",
            shown=MUST_SHOW,
            manual_given=True,
            pin=PIN,
        )

    def concede(self, unit: UUID, reason: str = "Agreed with the maker (invented).") -> Outcome:
        """Mira grants a concession on the first open flag."""
        flag = record_of(unit).open_flags()[0].id
        return flags.concede(
            actor=self.mira, command=Command(), unit=unit, flag=flag, reason=reason, pin=PIN
        )


def seen(unit: UUID, step: str) -> str:
    """Digest of what a step shows now."""
    record: Record = record_of(unit)
    assert record.procedure is not None
    return content_digest(record, record.procedure.steps[step])


def make_yard(code: str = "north") -> Yard:
    """The cast, in a database."""
    person: Callable[..., Person] = people.enrol

    def enrol(name: str) -> Person:
        return person(
            username=f"{name.split(maxsplit=1)[0].lower()}-{code}",
            printed_name=name,
            password=PASSWORD,
            pin=PIN,
        )

    otto = enrol("Otto Invented")
    sites.open_site(
        founder=otto,
        command=Command(),
        code=code,
        name=f"{code.title()} yard",
        time_zone="America/Chicago",
        dealer="Invented Implements",
    )
    roles = {
        "Ada Invented": Role.TECHNICIAN,
        "Ben Invented": Role.TECHNICIAN,
        "Mira Invented": Role.SERVICE_MANAGER,
        "Sol Invented": Role.SALES,
        "Rhea Invented": Role.AUDITOR,
    }
    staff = []
    for name, role in roles.items():
        staff.append(enrol(name))
        sites.add_member(actor=otto, command=Command(), site=code, person=staff[-1], role=role)
    for facts in (WRENCH, OVERDUE_WRENCH, TAPE, OVERDUE_TAPE):
        instruments.record_instrument(
            actor=otto, command=Command(), site=code, facts=facts, reason="registered"
        )
    for name in ("model", "tractor", "larger_tractor"):
        text = (DOCUMENTS / f"{name}.yaml").read_text()
        models.publish_model(actor=otto, command=Command(), text=text)
    text = (DOCUMENTS / "procedure.yaml").read_text()
    procedures.publish_procedure(actor=otto, command=Command(), text=text)
    ada, ben, mira, sol, rhea = staff
    return Yard(code, ada, ben, mira, sol, rhea, otto, enrol("Una Invented"))
