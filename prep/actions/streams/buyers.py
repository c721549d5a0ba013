"""The streams of buyers. Their personal data are rows beside the log."""

from uuid import UUID

from prep.actions.beside_the_log.buyer_details import erase_details
from prep.actions.streams.ids import NamedById
from prep.actions.streams.reference import ReferenceStream
from prep.actions.streams.sites import roles_at_named_site
from prep.actions.streams.stream import Change, Loaded, Standing
from prep.models import Buyer, Person
from prep.queries.people import roles_at
from prep.record.buyer.commands import AddBuyer
from prep.record.buyer.events import BuyerErased
from prep.record.command import Command
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

    def apply(self, loaded: Loaded, change: Change) -> None:
        """Erase the details with the event that says so."""
        super().apply(loaded, change)
        if isinstance(loaded.state, BuyerErased):
            erase_details(self.key(change.target), change.context.recorded)
