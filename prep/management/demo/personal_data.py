"""The demo's people from outside: a buyer on legal hold, one who was erased, a guest."""

from uuid import UUID

from prep.actions.perform import perform
from prep.management.demo.dealership import PIN, Crew
from prep.models import Unit
from prep.record.buyer.commands import AddBuyer, EraseBuyer, HoldBuyer
from prep.record.guest.commands import AdmitGuest

SITE = "north"


def build(crew: Crew) -> str:
    """Make them; returns what was made."""
    _hold(crew)
    _erase(crew)
    _admit(crew)
    return "a buyer on legal hold, a buyer erased, a guest from a manufacturer admitted"


def _hold(crew: Crew) -> None:
    """The buyer of the machine that was handed over, whose papers a court asked for."""
    sold = Unit.objects.filter(site_id=SITE, handed_over__isnull=False).order_by("received")
    buyer = sold.values_list("buyer", flat=True)[0]
    hold = HoldBuyer(reason="Court file 26-114 (invented)", pin=PIN)
    perform(hold, actor=crew.administrator, target=UUID(buyer))


def _erase(crew: Crew) -> None:
    """Somebody who asked about a machine, bought none, and wants to be forgotten."""
    adding = AddBuyer(
        site=SITE,
        name="Dell Rushmere (invented)",
        address="9 Nowhere Lane (invented)",
        phone="555-0109",
    )
    added = perform(adding, actor=crew.sales)
    erasing = EraseBuyer(reason="Asked for it by letter (invented).", pin=PIN)
    perform(erasing, actor=crew.administrator, target=added.target)


def _admit(crew: Crew) -> None:
    """A manufacturer's field engineer looks at two machines for a week."""
    units = Unit.objects.filter(site_id=SITE, joined_into="", maker__startswith="Larkfield")
    visit = AdmitGuest(
        site=SITE,
        name="Gwen Farlow (invented)",
        organization="Larkfield Implements (invented)",
        units=tuple(units.order_by("received").values_list("pk", flat=True)[:2]),
        days=7,
        why="Looks into reports of loose gearbox bolts (invented).",
    )
    perform(visit, actor=crew.manager)
