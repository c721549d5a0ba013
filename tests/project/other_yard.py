"""One of everything that belongs to a yard, and somebody who holds every role at another one."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any
from uuid import UUID, uuid4

from django.urls import URLResolver, get_resolver
from django.utils import timezone

from prep.actions import sites
from prep.actions.batches.batch import Device, Sent
from prep.actions.batches.carry_out import carry_out
from prep.actions.batches.refused_commands import refused_id
from prep.actions.perform import perform
from prep.models import Card, CheckpointKeeper, Event, Person
from prep.record.person.commands.cards import RecordCard
from prep.record.roles import Role
from prep.record.site.commands import AddKeeper, GiveRole, OpenSite
from prep.record.unit.commands.photos import AttachPhoto
from reports import imports, queue
from reports.models import DocumentRequest
from tests.actions.guests import admitted
from tests.cast import Yard
from tests.stored_files import picture
from tests.tablets import tablet

BUYERS = b"Buyer,Address\nFen Farm (invented),1 Invented Lane\n"


@dataclass(frozen=True)
class Route:
    """An address as it is declared: its path and the names of what stands in it."""

    path: str
    names: tuple[str, ...]

    def filled(self, values: dict[str, Any]) -> str:
        """The address with values in it."""
        path = self.path
        for name in self.names:
            start, end = path.index("<"), path.index(">")
            path = f"{path[:start]}{values[name]}{path[end + 1 :]}"
        return f"/{path}"


def routes() -> Iterator[Route]:
    """Every address of the service."""
    yield from _below(get_resolver(), "")


def _below(resolver: URLResolver, prefix: str) -> Iterator[Route]:
    for one in resolver.url_patterns:
        path = prefix + str(one.pattern)
        if isinstance(one, URLResolver):
            yield from _below(one, path)
        else:
            yield Route(path, tuple(one.pattern.converters))


def other_yards_manager(yard: Yard) -> Person:
    """Una, who holds every role there is, at the yard in the south alone."""
    opened = OpenSite(
        site="south", name="South yard", time_zone="America/Chicago", dealer="Invented Implements"
    )
    sites.open_site(opened, founder=yard.otto)
    for role in Role:
        perform(GiveRole(person=yard.outsider.username, role=role), actor=yard.otto, target="south")
    return yard.outsider


def one_of_everything(yard: Yard) -> dict[str, Any]:
    """What the addresses name, all of it of this yard."""
    unit = yard.prepared()
    photo = perform(
        AttachPhoto(step="pitch", line="finish"),
        actor=yard.ada,
        target=open_for_photos(yard),
        attachment=picture(),
    ).events[0]
    buyer = yard.buyer()
    yard.assign(unit, buyer=buyer)
    perform(AddKeeper(email="records@accountant.example"), actor=yard.otto, target=yard.site)
    hold = Sent(uuid4(), {"command": "unit.hold", "reason": " "}, timezone.now(), str(unit))
    list(carry_out([hold], person=yard.ada, device=Device("Tablet 2", 0)))
    card = RecordCard(kind="forklift", valid_until="2030-01-01")
    perform(card, actor=yard.otto, target=str(yard.ada.pk))
    document = queue.ask(actor=yard.ada, kind="sheet", command=uuid4(), unit=unit)
    queue.run_due()
    job = imports.accept(
        actor=yard.sol,
        kind="buyers",
        content=BUYERS,
        name="buyers.csv",
        command=uuid4(),
        site=yard.site,
    )
    return {
        "unit": unit,
        "photo": UUID(photo.photo),
        "buyer": buyer.pk,
        "instrument": "W-1",
        "site": yard.site,
        "keeper": CheckpointKeeper.objects.get().pk,
        "refused": refused_id(hold.id, yard.ada),
        "device": tablet(yard.mira, yard.site),
        "document": DocumentRequest.objects.get(pk=document.pk).pk,
        "import_id": job.pk,
        "guest": admitted(yard, unit).pk,
        **dict.fromkeys(("person", "account"), yard.ada.pk),
        "username": yard.ada.username,
        "card": Card.objects.get(person=yard.ada).pk,
        "event": Event.objects.filter(stream="unit").values_list("pk", flat=True)[0],
    }


def open_for_photos(yard: Yard) -> UUID:
    """A unit in which a photo can be attached."""
    unit = yard.started()
    yard.block_deck(unit)
    yard.torque_blades(unit)
    yard.take(unit, "pitch", "front", "4 in")
    return unit
