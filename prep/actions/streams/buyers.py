"""The streams of buyers. Their personal data are rows beside the log."""

from uuid import UUID

from prep.actions.beside_the_log.buyer_details import erase_details
from prep.actions.streams.ids import NamedById
from prep.actions.streams.reference import ReferenceStream
from prep.actions.streams.sites import roles_at_named_site
from prep.actions.streams.stream import Change, Loaded, Standing
from prep.models import Buyer, Event, Person
from prep.queries.people import roles_at
from prep.record.buyer.commands import AddBuyer
from prep.record.buyer.events import BuyerErased
from prep.record.buyer.state import fold_buyer
from prep.record.command import Command
from prep.record.reference_events import decode
from prep.record.refusal import Refusal


class BuyerStream(NamedById, ReferenceStream):
    """Somebody a unit is sold to."""

    name = "buyer"
    table = Buyer
    names = UUID("0a6b8d8e-3a4e-4f43-8a43-6d3f5c1e77aa")

    def unknown(self) -> Refusal:
        """No buyer has the id, or none that the person may know of."""
        return Refusal("no-such-buyer")

    def standing(self, person: Person, target: str, command: Command) -> Standing:
        """The roles at the buyer's site. Two queries."""
        if isinstance(command, AddBuyer):
            return roles_at_named_site(person, command.site)
        site = self.site_of(target, command)
        roles = frozenset(roles_at(person, site))
        if not roles:
            raise self.unknown()
        return Standing(site, roles)

    def site_of(self, target: str, command: Command) -> str:
        """The buyer's site."""
        if isinstance(command, AddBuyer):
            return command.site
        site = Buyer.objects.filter(pk=self.key(target)).values_list("site_id", flat=True).first()
        if site is None:
            raise self.unknown()
        return site

    def load(self, target: str, version: int | None = None) -> Loaded:
        """What all its events say: the last one alone does not tell of a hold."""
        loaded = super().load(target, version)
        events = Event.objects.filter(stream=self.name, stream_id=target).order_by("version")
        if version is not None:
            events = events.filter(version__lte=version)
        loaded.state = fold_buyer(map(decode, events.values_list("body", flat=True)))
        return loaded

    def apply(self, loaded: Loaded, change: Change) -> None:
        """Erase the details with the event that says so; say in the row that they are held."""
        super().apply(loaded, change)
        loaded.state = self.load(change.target).state
        buyer = self.key(change.target)
        if isinstance(change.events[-1], BuyerErased):
            erase_details(buyer, change.context.recorded)
        Buyer.objects.filter(pk=buyer).exclude(held=loaded.state.held).update(
            held=loaded.state.held
        )
