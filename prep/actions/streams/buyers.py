"""The streams of buyers. Their personal data are rows beside the log."""

from uuid import UUID

from prep.actions.beside_the_log.buyer_details import erase_details
from prep.actions.streams.of_a_site import OfASite
from prep.actions.streams.stream import Change, Loaded
from prep.models import Buyer, Event
from prep.record.buyer.events import BuyerErased
from prep.record.buyer.state import fold_buyer
from prep.record.reference_events import decode
from prep.record.refusal import Refusal


class BuyerStream(OfASite):
    """Somebody a unit is sold to."""

    name = "buyer"
    table = Buyer
    names = UUID("0a6b8d8e-3a4e-4f43-8a43-6d3f5c1e77aa")

    def unknown(self) -> Refusal:
        """No buyer has the id, or none that the person may know of."""
        return Refusal("no-such-buyer")

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
