"""Scenarios of the demo: about two dozen invented units, one or more in each state."""

from collections.abc import Callable, Iterator
from datetime import timedelta
from random import Random
from uuid import UUID

from django.utils import timezone

from prep.actions.perform import perform
from prep.management.demo.dealership import PIN, Crew
from prep.management.demo.simulated_technician import plain_picture
from prep.management.demo.units import DemoUnits, Plan
from prep.queries.records import record_of
from prep.record.unit.commands.flags import GrantConcession
from prep.record.unit.commands.joining import JoinUnit
from prep.record.unit.commands.plates import AttachPlate, CorrectPlate
from prep.record.unit.commands.receiving import ArrivalDamage, ReceiveUnit
from prep.record.unit.commands.releases import HoldUnit
from prep.record.unit.commands.shortages import NoteShortage

OTHER_TRACTOR = {
    "LF-RC15": "DM-T140D",
    "LF-RC20": "QM-7220",
    "HM-C6": "DM-T300",
    "HM-C10": "QM-7220",
}


def just_received(demo: DemoUnits, unit: UUID) -> None:
    """Received; preparation not started."""


def in_preparation(count: int) -> Callable[[DemoUnits, UUID], None]:
    """In preparation, with `count` steps done."""

    def scenario(demo: DemoUnits, unit: UUID) -> None:
        demo.start(unit)
        demo.do_steps(unit, count)

    return scenario


def waiting_for_part(demo: DemoUnits, unit: UUID) -> None:
    """In preparation, with a part missing."""
    in_preparation(9)(demo, unit)
    perform(
        NoteShortage(
            part="Left rear lamp bracket", expected=f"{timezone.now() + timedelta(days=4):%d %B}"
        ),
        actor=demo.crew.technician,
        target=unit,
    )


def on_hold(demo: DemoUnits, unit: UUID) -> None:
    """On hold because of a bulletin."""
    in_preparation(5)(demo, unit)
    perform(
        HoldUnit(reason="Manufacturer's bulletin 26-07 on hitch pins is open (invented)."),
        actor=demo.crew.manager,
        target=unit,
    )


def out_of_limit(demo: DemoUnits, unit: UUID) -> None:
    """With an excessive torque whose flag is open."""
    demo.start(unit)
    demo.enter_excessive_torque(unit)


def tool_withdrawn_meanwhile(demo: DemoUnits, unit: UUID) -> None:
    """With a torque that a tablet sent after its wrench was withdrawn; its flag is open."""
    demo.start(unit)
    demo.enter_for_a_tool_withdrawn_meanwhile(unit)


def accepted_by_concession(demo: DemoUnits, unit: UUID) -> None:
    """With an excessive torque accepted by concession; preparation goes on."""
    out_of_limit(demo, unit)
    for flag in record_of(unit).open_flags():
        perform(
            GrantConcession(
                flag=flag.id,
                reason="Manufacturer's service desk agreed by telephone (invented).",
                pin=PIN,
            ),
            actor=demo.crew.manager,
            target=unit,
        )
    demo.do_steps(unit, 4)


def ready_for_stock(demo: DemoUnits, unit: UUID) -> None:
    """Prepared as far as possible without the buyer's tractor."""
    demo.start(unit)
    demo.do_steps(unit)


def released_for_stock(demo: DemoUnits, unit: UUID) -> None:
    """Released for stock, not sold."""
    ready_for_stock(demo, unit)
    demo.release(unit)


def sold_unmatched(demo: DemoUnits, unit: UUID) -> None:
    """Sold; ready for stock, not matched to the buyer's tractor."""
    ready_for_stock(demo, unit)
    demo.assign(unit)


def tractor_changed(demo: DemoUnits, unit: UUID) -> None:
    """Matched to one tractor, then assigned to another."""
    ready_for_buyer(demo, unit)
    demo.assign(unit, OTHER_TRACTOR)


def ready_for_buyer(demo: DemoUnits, unit: UUID) -> None:
    """Matched to the buyer's tractor, not released."""
    sold_unmatched(demo, unit)
    demo.do_steps(unit)


def released_for_buyer(demo: DemoUnits, unit: UUID) -> None:
    """Released for its buyer, not handed over."""
    ready_for_buyer(demo, unit)
    demo.release(unit)


def release_withdrawn(demo: DemoUnits, unit: UUID) -> None:
    """Released for its buyer; then the release was withdrawn, and a step is to be done again."""
    released_for_buyer(demo, unit)
    demo.withdraw_release(unit)


def handed_over(demo: DemoUnits, unit: UUID) -> None:
    """Handed over; the registration is due."""
    released_for_buyer(demo, unit)
    demo.hand_over(unit)


def plate_misread(demo: DemoUnits, unit: UUID) -> None:
    """In preparation; the plate had been misread, and was corrected by its photo."""
    in_preparation(2)(demo, unit)
    serial = record_of(unit).serial
    photo = perform(
        AttachPlate(note="Plate, cleaned (invented)"),
        actor=demo.crew.technician,
        target=unit,
        attachment=plain_picture(40),
    ).events[0]
    last = {"0": "8", "8": "0"}.get(serial[-1], "0")
    perform(
        CorrectPlate(
            serial=serial[:-1] + last,
            photo=photo.photo,
            reason="Mud on the last digit (invented).",
            pin=PIN,
        ),
        actor=demo.crew.manager,
        target=unit,
    )


def received_twice(demo: DemoUnits, unit: UUID) -> None:
    """In preparation; a second record of the machine, from its papers, was joined to it."""
    in_preparation(3)(demo, unit)
    serial = record_of(unit).serial
    maker = record_of(unit).maker
    second = perform(
        ReceiveUnit(
            site=demo.sites[unit],
            maker=maker,
            serial=f"{serial[:-2]}{serial[-1]}{serial[-2]}-2",
            note="Invented for the demonstration.",
        ),
        actor=demo.crew.technician,
    )
    perform(
        JoinUnit(
            joined=second.unit,
            reason="Received at the truck, and once more from the papers (invented).",
            pin=PIN,
        ),
        actor=demo.crew.manager,
        target=unit,
    )


PLANS = (
    Plan("LF-RC15", "north", 41, released_for_stock),
    Plan("HM-C6", "north", 38, handed_over, ("scale",)),
    Plan("HM-C6", "south", 36, released_for_buyer),
    Plan("HM-C10", "north", 33, tractor_changed),
    Plan("HM-C6", "north", 30, sold_unmatched),
    Plan("HM-C10", "south", 29, released_for_stock),
    Plan("HM-C6", "south", 27, ready_for_buyer, ("roll tarp",)),
    Plan("HM-C6", "south", 26, ready_for_stock),
    Plan("HM-C10", "north", 24, ready_for_stock),
    Plan("LF-RC15", "north", 22, waiting_for_part, ("rear chain guards",)),
    Plan("LF-RC20", "south", 21, accepted_by_concession),
    Plan("LF-RC15", "south", 19, out_of_limit),
    Plan("HM-C6", "north", 18, in_preparation(22)),
    Plan("LF-RC20", "north", 16, in_preparation(14), ("laminated tires",)),
    Plan("HM-C10", "south", 15, on_hold),
    Plan("LF-RC15", "north", 13, in_preparation(11)),
    Plan("LF-RC15", "south", 12, in_preparation(7), ("1000 rpm driveline",)),
    Plan("HM-C6", "south", 10, in_preparation(4)),
    Plan("LF-RC20", "south", 9, in_preparation(2)),
    Plan("HM-C10", "north", 7, in_preparation(1)),
    Plan(
        "LF-RC15",
        "south",
        5,
        in_preparation(3),
        damage=(ArrivalDamage("Dented deck edge", "right wing, rear", 1, True),),
    ),
    Plan("LF-RC20", "north", 3, just_received),
    Plan("HM-C6", "north", 2, just_received),
    Plan("HM-C10", "south", 14, tool_withdrawn_meanwhile),
    Plan("LF-RC15", "north", 23, release_withdrawn),
    Plan("HM-C6", "south", 2, plate_misread),
    Plan("LF-RC15", "north", 4, received_twice),
)


def build(crew: Crew) -> Iterator[tuple[int, int, str]]:
    """Make all units; yields how many are done, of how many, and a name of the last one."""
    demo = DemoUnits(crew, Random(20261125))
    for number, plan in enumerate(PLANS, 1):
        # Each command commits by itself, as in a yard: an attempt at a PIN has to.
        unit = demo.receive(plan)
        plan.scenario(demo, unit)
        yield number, len(PLANS), f"{plan.model} in the {plan.site} yard"
