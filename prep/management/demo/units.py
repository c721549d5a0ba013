"""About two dozen invented units in every state, made by the commands everybody uses."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from random import Random
from typing import Any
from uuid import UUID

from django.db import transaction
from django.utils import timezone

from prep.actions import (
    buyers,
    entries,
    flags,
    handovers,
    holds,
    receiving,
    releases,
    sheets,
    shortages,
)
from prep.actions.write_path import Command
from prep.management.demo.dealership import PIN, Crew
from prep.management.demo.technician import Technician, next_step
from prep.models import MachineModel
from prep.queries.records import record_of
from prep.record.unit.commands.handovers import MUST_SHOW
from prep.record.unit.commands.releases import sheet_digest
from prep.record.unit.events import Damage
from prep.record.unit.state import Record

FITTING_TRACTOR = {
    "LF-RC15": "QM-4110",
    "LF-RC20": "DM-T140D",
    "HM-C6": "QM-7220",
    "HM-C10": "DM-T300",
}
OTHER_TRACTOR = {
    "LF-RC15": "DM-T140D",
    "LF-RC20": "QM-7220",
    "HM-C6": "DM-T300",
    "HM-C10": "QM-7220",
}
BUYERS = ("Fen End Farm", "Harrow Brook Farm", "Sallow Field Farm", "Tern Marsh Farm")


@dataclass(frozen=True)
class Plan:
    """One unit to be made: where, what, how long ago, and what becomes of it."""

    model: str
    site: str
    days_ago: int
    story: Callable[["Scene", UUID], None]
    options: tuple[str, ...] = ()
    damage: tuple[Damage, ...] = ()


class Scene:
    """What can become of a unit in the demo."""

    def __init__(self, crew: Crew, random: Random) -> None:
        self.crew = crew
        self.random = random
        self.technicians = {site: Technician(crew, site, random) for site in ("north", "south")}
        self.sites: dict[UUID, str] = {}
        self.buyer_number = 0

    def serial(self, model: str, arrived: datetime) -> str:
        """A serial by the model's own scheme, built some weeks before it arrived."""
        built = arrived - timedelta(days=40 + self.random.randrange(200))
        number = self.random.randrange(1, 9999)
        if model.startswith("LF"):
            return f"{model[3:]}{built:%Y%j}{number:04d}"
        return f"{model[3:]}-{built:%Y%m%d}-{number:04d}"

    def receive(self, plan: Plan) -> UUID:
        """The truck comes, some days ago."""
        arrived = timezone.now() - timedelta(days=plan.days_ago, hours=self.random.randrange(6))
        row = self.random.choice("ABCD")
        outcome = receiving.receive(
            actor=self.crew.technician,
            command=Command(happened=arrived, device="yard tablet"),
            site=plan.site,
            maker=MachineModel.objects.get(pk=plan.model).maker,
            serial=self.serial(plan.model, arrived),
            model=plan.model,
            options=plan.options,
            damage=plan.damage,
            place=f"Row {row}, {self.random.randint(1, 18)}",
            note="Invented for the demonstration.",
        )
        self.sites[outcome.unit] = plan.site
        return outcome.unit

    def start(self, unit: UUID) -> None:
        """Preparation begins."""
        sheets.start(actor=self.crew.technician, command=Command(), unit=unit)

    def work(self, unit: UUID, steps_wanted: int = 1000) -> Record:
        """A technician works the sheet, so many steps of it."""
        return self.technicians[self.sites[unit]].work(unit, steps_wanted)

    def assign(self, unit: UUID, tractors: dict[str, str] = FITTING_TRACTOR) -> None:
        """Sales finds a buyer."""
        record = record_of(unit)
        assert record.model is not None
        name = BUYERS[self.buyer_number % len(BUYERS)]
        self.buyer_number += 1
        buyer = buyers.add(
            actor=self.crew.sales,
            command=Command(),
            site=self.sites[unit],
            name=f"{name} (invented)",
            address="1 Nowhere Lane (invented)",
            phone="555-0100",
        )
        buyers.assign(
            actor=self.crew.sales,
            command=Command(),
            unit=unit,
            buyer=buyer.pk,
            tractor=tractors[record.model.code],
        )

    def release(self, unit: UUID) -> None:
        """The service manager releases."""
        releases.release(
            actor=self.crew.manager,
            command=Command(),
            unit=unit,
            seen=sheet_digest(record_of(unit)),
            pin=PIN,
        )

    def hand_over(self, unit: UUID, days_ago: int = 0) -> None:
        """The buyer takes it."""
        handovers.hand_over(
            actor=self.crew.sales,
            command=Command(happened=timezone.now() - timedelta(days=days_ago)),
            unit=unit,
            recipient="Wes Fenner (invented)",
            relation="owner",
            language="English",
            shown=MUST_SHOW,
            manual_given=True,
            pin=PIN,
        )

    def spoil(self, unit: UUID) -> None:
        """The next step with a limit gets a value far too high."""
        technician = self.technicians[self.sites[unit]]
        record = record_of(unit)
        for _ in range(60):
            step = next_step(record)
            if step is None:
                return
            wrong = next((line for line in step.lines if line.quantity == "torque"), None)
            if wrong is None:
                record = self.work(unit, 1)
                continue
            record = technician.fill(unit, record, step)
            box = record.boxes[step.step, wrong.line, wrong.boxes[0]]
            assert box.current is not None
            good: Any = box.current.event
            entries.take(
                actor=self.crew.technician,
                command=Command(),
                unit=unit,
                step=step.step,
                line=wrong.line,
                position=wrong.boxes[0],
                text=f"{round(float(good.value) * 1.12)} {good.unit}",
                instrument=good.instrument.code if good.instrument else "",
                supersedes=box.current.id,
                reason="Checked again with the nut turning",
            )
            return


def received(scene: Scene, unit: UUID) -> None:
    """Off the truck, and no more."""


def begun(steps_wanted: int) -> Callable[[Scene, UUID], None]:
    """In preparation, so many steps done."""

    def story(scene: Scene, unit: UUID) -> None:
        scene.start(unit)
        scene.work(unit, steps_wanted)

    return story


def short_of_a_part(scene: Scene, unit: UUID) -> None:
    """In preparation, a part missing."""
    begun(9)(scene, unit)
    shortages.note_shortage(
        actor=scene.crew.technician,
        command=Command(),
        unit=unit,
        part="Left rear lamp bracket",
        expected=f"{timezone.now() + timedelta(days=4):%d %B}",
    )


def on_hold(scene: Scene, unit: UUID) -> None:
    """Stopped by a bulletin."""
    begun(5)(scene, unit)
    holds.hold(
        actor=scene.crew.manager,
        command=Command(),
        unit=unit,
        reason="Maker's bulletin 26-07 on hitch pins is open (invented).",
    )


def out_of_limit(scene: Scene, unit: UUID) -> None:
    """A torque too high, its flag open."""
    scene.start(unit)
    scene.spoil(unit)


def conceded(scene: Scene, unit: UUID) -> None:
    """A torque too high, released by concession, work going on."""
    out_of_limit(scene, unit)
    for flag in record_of(unit).open_flags():
        flags.concede(
            actor=scene.crew.manager,
            command=Command(),
            unit=unit,
            flag=flag.id,
            reason="Maker's service desk agreed by telephone (invented).",
            pin=PIN,
        )
    scene.work(unit, 4)


def ready_for_stock(scene: Scene, unit: UUID) -> None:
    """Prepared as far as it can be without a tractor."""
    scene.start(unit)
    scene.work(unit)


def released_for_stock(scene: Scene, unit: UUID) -> None:
    """Prepared and released, waiting for a buyer."""
    ready_for_stock(scene, unit)
    scene.release(unit)


def buyer_found(scene: Scene, unit: UUID) -> None:
    """Ready for stock, not yet for this buyer."""
    ready_for_stock(scene, unit)
    scene.assign(unit)


def tractor_changed(scene: Scene, unit: UUID) -> None:
    """Matched to one tractor, then the buyer came with another."""
    buyer_found(scene, unit)
    scene.work(unit)
    scene.assign(unit, OTHER_TRACTOR)


def ready_for_buyer(scene: Scene, unit: UUID) -> None:
    """Matched to the buyer's tractor, waiting for the manager."""
    buyer_found(scene, unit)
    scene.work(unit)


def released_for_buyer(scene: Scene, unit: UUID) -> None:
    """Waiting for the truck."""
    ready_for_buyer(scene, unit)
    scene.release(unit)


def handed_over(scene: Scene, unit: UUID) -> None:
    """With its buyer; the registration is due."""
    released_for_buyer(scene, unit)
    scene.hand_over(unit)


PLANS = (
    Plan("LF-RC15", "north", 41, released_for_stock),
    Plan("HM-C6", "north", 38, handed_over, ("scale",)),
    Plan("HM-C6", "south", 36, released_for_buyer),
    Plan("HM-C10", "north", 33, tractor_changed),
    Plan("HM-C6", "north", 30, buyer_found),
    Plan("HM-C10", "south", 29, released_for_stock),
    Plan("HM-C6", "south", 27, ready_for_buyer, ("roll tarp",)),
    Plan("HM-C6", "south", 26, ready_for_stock),
    Plan("HM-C10", "north", 24, ready_for_stock),
    Plan("LF-RC15", "north", 22, short_of_a_part, ("rear chain guards",)),
    Plan("LF-RC20", "south", 21, conceded),
    Plan("LF-RC15", "south", 19, out_of_limit),
    Plan("HM-C6", "north", 18, begun(22)),
    Plan("LF-RC20", "north", 16, begun(14), ("laminated tyres",)),
    Plan("HM-C10", "south", 15, on_hold),
    Plan("LF-RC15", "north", 13, begun(11)),
    Plan("LF-RC15", "south", 12, begun(7), ("1000 rpm driveline",)),
    Plan("HM-C6", "south", 10, begun(4)),
    Plan("LF-RC20", "south", 9, begun(2)),
    Plan("HM-C10", "north", 7, begun(1)),
    Plan(
        "LF-RC15",
        "south",
        5,
        begun(3),
        damage=(Damage("Dented deck edge", "right wing, rear", 1, True),),
    ),
    Plan("LF-RC20", "north", 3, received),
    Plan("HM-C6", "north", 2, received),
)


def build(crew: Crew) -> Iterator[tuple[int, int, str]]:
    """Make every unit; yields how many are done, of how many, and the state of the last."""
    scene = Scene(crew, Random(20261125))
    for number, plan in enumerate(PLANS, 1):
        # One transaction a unit: a demonstration is built whole or not at all, and quickly.
        with transaction.atomic():
            unit = scene.receive(plan)
            plan.story(scene, unit)
        yield number, len(PLANS), f"{plan.model} in the {plan.site} yard"
