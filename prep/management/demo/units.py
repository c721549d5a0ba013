"""What the demo's people do with its units, by the service's own actions."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from random import Random
from uuid import UUID

import msgspec
from django.utils import timezone

from prep.actions.perform import perform
from prep.actions.submission import Submission
from prep.management.demo.dealership import PIN, Crew
from prep.management.demo.simulated_technician import SimulatedTechnician, next_open_step
from prep.models import Instrument as InstrumentRow
from prep.models import MachineModel
from prep.queries.records import record_of
from prep.record.buyer.commands import AddBuyer
from prep.record.facts import InstrumentFacts
from prep.record.instrument.commands import Instrument, RecordInstrument
from prep.record.unit.commands.buyers import AssignBuyer
from prep.record.unit.commands.entries import CheckSetting
from prep.record.unit.commands.handovers import MUST_SHOW, HandOver
from prep.record.unit.commands.receiving import ArrivalDamage, ReceiveUnit
from prep.record.unit.commands.releases import ReleaseUnit, ReopenUnit, sheet_digest
from prep.record.unit.commands.sheets import StartSheet
from prep.record.unit.events import SettingChecked
from prep.record.unit.state import Record

FITTING_TRACTOR = {
    "LF-RC15": "QM-4110",
    "LF-RC20": "DM-T140D",
    "HM-C6": "QM-7220",
    "HM-C10": "DM-T300",
}
BUYERS = ("Fen End Farm", "Harrow Brook Farm", "Sallow Field Farm", "Tern Marsh Farm")


@dataclass(frozen=True)
class Plan:
    """One demo unit: model, yard, days since it arrived, and the scenario it goes through."""

    model: str
    site: str
    days_ago: int
    scenario: Callable[["DemoUnits", UUID], None]
    options: tuple[str, ...] = ()
    damage: tuple[ArrivalDamage, ...] = ()


class DemoUnits:
    """The steps that scenarios take units through, each by the person whose role it is."""

    def __init__(self, crew: Crew, random: Random) -> None:
        self.crew = crew
        self.random = random
        self.technicians = {
            site: SimulatedTechnician(crew, site, random) for site in ("north", "south")
        }
        self.sites: dict[UUID, str] = {}
        self.buyer_number = 0

    def serial(self, model: str, arrived: datetime) -> str:
        """A serial number in the model's scheme, built some weeks before arrival."""
        built = arrived - timedelta(days=40 + self.random.randrange(200))
        number = self.random.randrange(1, 9999)
        if model.startswith("LF"):
            return f"{model[3:]}{built:%Y%j}{number:04d}"
        return f"{model[3:]}-{built:%Y%m%d}-{number:04d}"

    def receive(self, plan: Plan) -> UUID:
        """A technician receives the unit, some days ago."""
        arrived = timezone.now() - timedelta(days=plan.days_ago, hours=self.random.randrange(6))
        row = self.random.choice("ABCD")
        outcome = perform(
            ReceiveUnit(
                site=plan.site,
                maker=MachineModel.objects.get(pk=plan.model).maker,
                serial=self.serial(plan.model, arrived),
                model=plan.model,
                options=plan.options,
                damage=plan.damage,
                place=f"Row {row}, {self.random.randint(1, 18)}",
                note="Invented for the demonstration.",
            ),
            actor=self.crew.technician,
            submission=Submission(happened=arrived, device="yard tablet"),
        )
        self.sites[outcome.unit] = plan.site
        return outcome.unit

    def start(self, unit: UUID) -> None:
        """A technician starts the sheet."""
        perform(StartSheet(), actor=self.crew.technician, target=unit)

    def do_steps(self, unit: UUID, count: int = 1000) -> Record:
        """A technician does at most `count` steps of the sheet."""
        return self.technicians[self.sites[unit]].do_steps(unit, count)

    def assign(self, unit: UUID, tractors: dict[str, str] = FITTING_TRACTOR) -> None:
        """Sales assigns a new buyer and a tractor."""
        record = record_of(unit)
        assert record.model is not None
        name = BUYERS[self.buyer_number % len(BUYERS)]
        self.buyer_number += 1
        buyer = perform(
            AddBuyer(
                site=self.sites[unit],
                name=f"{name} (invented)",
                address="1 Nowhere Lane (invented)",
                phone="555-0100",
            ),
            actor=self.crew.sales,
        )
        perform(
            AssignBuyer(buyer=UUID(buyer.target), tractor=tractors[record.model.code]),
            actor=self.crew.sales,
            target=unit,
        )

    def release(self, unit: UUID) -> None:
        """The service manager releases the unit."""
        perform(
            ReleaseUnit(seen=sheet_digest(record_of(unit)), pin=PIN),
            actor=self.crew.manager,
            target=unit,
        )

    def hand_over(self, unit: UUID, days_ago: int = 0) -> None:
        """Sales hands the unit over to its buyer."""
        perform(
            HandOver(
                recipient="Wes Fenner (invented)",
                relation="owner",
                language="English",
                shown=MUST_SHOW,
                manual_given=True,
                pin=PIN,
            ),
            actor=self.crew.sales,
            submission=Submission(happened=timezone.now() - timedelta(days=days_ago)),
            target=unit,
        )

    def enter_excessive_torque(self, unit: UUID) -> None:
        """In the next step with a torque the wrench is set 12 % higher, out of its limit."""
        good = self._next_torque(unit)
        self._correct(
            unit,
            good,
            text=f"{round(float(good.value) * 1.12)} {good.unit}",
            reason="Gone over again with another setting",
        )

    def enter_for_a_tool_withdrawn_meanwhile(self, unit: UUID) -> None:
        """A torque by a wrench that the office withdrew before the tablet had a signal."""
        good = self._next_torque(unit)
        assert good.instrument is not None
        read_at = timezone.now()
        self._record(good.instrument, "Dropped (invented)", "Withdrawn, to be checked (invented).")
        self._correct(
            unit,
            good,
            text=good.raw,
            reason="Pulled again after the nut was cleaned",
            submission=Submission(happened=read_at, device="yard tablet"),
        )
        self._record(good.instrument, "", "Checked and back in service (invented).")

    def withdraw_release(self, unit: UUID) -> None:
        """The service manager withdraws the release: one step is to be done again."""
        procedure = record_of(unit).procedure
        assert procedure is not None
        torqued = next(
            step.step
            for step in procedure.steps.values()
            if any(line.quantity == "torque" for line in step.lines)
        )
        withdrawing = ReopenUnit(
            reason="The wrench used was found out of true afterwards (invented).",
            steps=(torqued,),
        )
        perform(withdrawing, actor=self.crew.manager, target=unit)

    def _next_torque(self, unit: UUID) -> SettingChecked:
        """The first setting of the next step with a torque, which is filled in and not signed."""
        technician = self.technicians[self.sites[unit]]
        record = record_of(unit)
        while step := next_open_step(record):
            wanted = next((line for line in step.lines if line.quantity == "torque"), None)
            if wanted is None:
                record = self.do_steps(unit, 1)
                continue
            record = technician.fill(unit, record, step)
            box = record.boxes[step.step, wanted.line, wanted.boxes[0]]
            assert box.current is not None
            assert isinstance(box.current.event, SettingChecked)
            return box.current.event
        raise LookupError(f"no step of {record.serial} asks for a torque")

    def _correct(
        self,
        unit: UUID,
        earlier: SettingChecked,
        *,
        text: str,
        reason: str,
        submission: Submission | None = None,
    ) -> None:
        """A technician goes over the fasteners again with the same tool."""
        reading = CheckSetting(
            checked=earlier.checked,
            moved=earlier.moved,
            step=earlier.step,
            line=earlier.line,
            position=earlier.position,
            text=text,
            instrument=earlier.instrument.code if earlier.instrument else "",
            supersedes=earlier.setting,
            reason=reason,
        )
        perform(reading, actor=self.crew.technician, target=unit, submission=submission)

    def _record(self, facts: InstrumentFacts, out_of_service: str, reason: str) -> None:
        """The office records that a tool is out of service, or back in it."""
        site = InstrumentRow.objects.values_list("site_id", flat=True).get(pk=facts.code)
        now = {**msgspec.structs.asdict(facts), "out_of_service": out_of_service}
        recording = RecordInstrument(site=site, instrument=Instrument(**now), reason=reason)
        perform(recording, actor=self.crew.administrator)
