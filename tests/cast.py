"""The small cast of the tests: one yard, five people, one model, two tractors, four instruments.

Everybody and everything here is invented. Whatever the cast has was made through the actions.
"""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any
from unittest.mock import patch
from uuid import UUID

from django.utils import timezone

from prep.actions import people, sites
from prep.actions.perform import perform
from prep.actions.submission import Outcome, Submission
from prep.models import Buyer, Manufacturer, Person
from prep.queries.records import record_of
from prep.record.buyer.commands import AddBuyer, EraseBuyer
from prep.record.instrument.commands import Instrument, RecordInstrument
from prep.record.manufacturer.commands import AddManufacturer
from prep.record.model.commands import PublishModel
from prep.record.procedure.commands import PublishProcedure
from prep.record.roles import Role
from prep.record.site.commands import GiveRole, OpenSite
from prep.record.unit.commands.buyers import AssignBuyer
from prep.record.unit.commands.entries import CompleteCheck, TakeReading
from prep.record.unit.commands.flags import GrantConcession
from prep.record.unit.commands.handovers import MUST_SHOW, HandOver
from prep.record.unit.commands.receiving import ReceiveUnit
from prep.record.unit.commands.releases import ReleaseUnit, sheet_digest
from prep.record.unit.commands.sheets import StartSheet
from prep.record.unit.commands.steps import AcknowledgeCautions, CheckStep, SignStep
from prep.record.unit.sheet import content_digest
from prep.record.unit.state import Record

DOCUMENTS = Path(__file__).parent / "documents"
PIN = "4711"
ERASING = EraseBuyer(reason="They asked for it (invented).", pin=PIN)
NOT_THE_WORK = "Only the papers were wrong (invented)."  # why a withdrawn release redoes no step
PASSWORD = "an invented long word"

MANUFACTURERS = ("Larkfield", "Hollowfold")

WRENCH = Instrument(
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
OVERDUE_WRENCH = Instrument(
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
TAPE = Instrument(
    code="M-1",
    kind="tape measure",
    name="Tape M-1",
    quantity="length",
    low="0 in",
    high="300 in",
    resolution="1/16 in",
    absolute="1/32 in",
)
OVERDUE_TAPE = Instrument(
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

    def receive(
        self,
        serial: str = "",
        *,
        model: str = "TC-12",
        happened: datetime | None = None,
        **more: Any,
    ) -> UUID:
        """A unit received, now or when the tablet says, and of a known model."""
        self.serial += 1
        outcome = perform(
            ReceiveUnit(
                site=self.site,
                maker="Larkfield",
                serial=serial or f"TC{self.serial:05d}",
                model=model,
                **more,
            ),
            actor=self.ada,
            submission=Submission(happened=happened),
        )
        return outcome.unit

    def started(self, **more: Any) -> UUID:
        """A unit whose sheet is started, at the moment it was received where one is said."""
        unit = self.receive(**more)
        begun = Submission(happened=more.get("happened"))
        perform(StartSheet(), actor=self.ada, target=unit, submission=begun)
        return unit

    def take(self, unit: UUID, step: str, line: str, text: str, **more: Any) -> Any:
        """Ada enters a reading. An Outcome whose first event is that reading, which is why tests

        may look at its fields without saying so to the type checker.
        """
        who = more.pop("actor", self.ada)
        command = more.pop("command", None) or Submission()
        return perform(
            TakeReading(step=step, line=line, text=text, **more),
            actor=who,
            submission=command,
            target=unit,
        )

    def check(self, unit: UUID, step: str, line: str, **more: Any) -> Outcome:
        """Ada answers a check."""
        who = more.pop("actor", self.ada)
        return perform(
            CompleteCheck(step=step, line=line, answer=more.pop("answer", True), **more),
            actor=who,
            target=unit,
        )

    def acknowledge(self, unit: UUID, step: str, actor: Person | None = None) -> Outcome:
        """Somebody reads the cautions of a step."""
        return perform(AcknowledgeCautions(step=step), actor=actor or self.ada, target=unit)

    def sign(self, unit: UUID, step: str, actor: Person | None = None) -> Outcome:
        """Somebody signs a step over what it holds now."""
        return perform(
            SignStep(step=step, seen=seen(unit, step), pin=PIN),
            actor=actor or self.ada,
            target=unit,
        )

    def second(self, unit: UUID, step: str, actor: Person | None = None) -> Outcome:
        """Ben checks as second person."""
        return perform(
            CheckStep(step=step, seen=seen(unit, step), pin=PIN),
            actor=actor or self.ben,
            target=unit,
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
        return add_buyer(AddBuyer(site=self.site, name="Fen Farm (invented)"), actor=self.sol)

    def assign(self, unit: UUID, tractor: str = "T-90", buyer: Buyer | None = None) -> Outcome:
        """Sales means the unit for a buyer."""
        return perform(
            AssignBuyer(buyer=(buyer or self.buyer()).pk, tractor=tractor),
            actor=self.sol,
            target=unit,
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
        return perform(
            ReleaseUnit(seen=sheet_digest(record_of(unit)), pin=PIN),
            actor=actor or self.mira,
            target=unit,
        )

    def hand_over(self, unit: UUID) -> Outcome:
        """Sol hands over."""
        return perform(
            HandOver(
                recipient="Wes Fen (invented)",
                relation="owner",
                language="English",
                shown=MUST_SHOW,
                manual_given=True,
                pin=PIN,
            ),
            actor=self.sol,
            target=unit,
        )

    def concede(self, unit: UUID, reason: str = "Agreed with the maker (invented).") -> Outcome:
        """Mira grants a concession on the first open flag."""
        flag = record_of(unit).open_flags()[0].id
        return perform(
            GrantConcession(flag=flag, reason=reason, pin=PIN), actor=self.mira, target=unit
        )


def add_buyer(command: AddBuyer, *, actor: Person, submission: Submission | None = None) -> Buyer:
    """The buyer that a command adds."""
    added = perform(command, actor=actor, submission=submission)
    return Buyer.objects.get(pk=UUID(added.target))


def seen(unit: UUID, step: str) -> str:
    """Digest of what a step shows now."""
    record: Record = record_of(unit)
    assert record.procedure is not None
    return content_digest(record, record.procedure.steps[step])


@contextmanager
def days_ago(days: float) -> Iterator[None]:
    """What is done within is recorded so many days ago."""
    then = timezone.now() - timedelta(days=days)
    with patch.object(timezone, "now", lambda: then):
        yield


def make_yard(code: str = "north") -> Yard:
    """The cast, in a database; on record for fifty days, so that units may have come since."""
    with days_ago(50):
        return _make_yard(code)


def _make_yard(code: str) -> Yard:
    person: Callable[..., Person] = people.enroll

    def enroll(name: str) -> Person:
        return person(
            username=f"{name.split(maxsplit=1)[0].lower()}-{code}",
            printed_name=name,
            password=PASSWORD,
            pin=PIN,
        )

    otto = enroll("Otto Invented")
    sites.open_site(
        OpenSite(
            site=code,
            name=f"{code.title()} yard",
            time_zone="America/Chicago",
            dealer="Invented Implements",
        ),
        founder=otto,
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
        staff.append(enroll(name))
        perform(GiveRole(person=staff[-1].username, role=role), actor=otto, target=code)
    for facts in (WRENCH, OVERDUE_WRENCH, TAPE, OVERDUE_TAPE):
        perform(RecordInstrument(site=code, instrument=facts, reason="registered"), actor=otto)
    for maker in MANUFACTURERS:
        if not Manufacturer.objects.filter(name=maker).exists():
            perform(AddManufacturer(name=maker), actor=otto)
    for name in ("model", "tractor", "larger_tractor"):
        text = (DOCUMENTS / f"{name}.yaml").read_text()
        perform(PublishModel(document=text), actor=otto)
    text = (DOCUMENTS / "procedure.yaml").read_text()
    perform(PublishProcedure(document=text), actor=otto)
    ada, ben, mira, sol, rhea = staff
    return Yard(code, ada, ben, mira, sol, rhea, otto, enroll("Una Invented"))
