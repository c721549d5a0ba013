"""The streams of guests. Their names are rows beside the log."""

from datetime import datetime
from typing import Any
from uuid import UUID

from prep.actions.beside_the_log.guests import erase_name
from prep.actions.streams.of_a_site import OfASite
from prep.actions.streams.stream import Change, Loaded
from prep.models import Guest
from prep.record.guest.events import GuestEnded, GuestErased
from prep.record.refusal import Refusal


class GuestStream(OfASite):
    """Somebody from outside who looks at named units."""

    name = "guest"
    table = Guest
    names = UUID("5f9b8f0a-1c44-4d8e-9a55-7b1c7d2f60e3")

    def unknown(self) -> Refusal:
        """No guest has the id, or none of a yard where the person is somebody."""
        return Refusal("no-such-guest")

    def apply(self, loaded: Loaded, change: Change) -> None:
        """Write what the event says; the name was stored with the fact."""
        super().apply(loaded, change)
        event, values = loaded.state, dict[str, Any]()
        if isinstance(event, GuestErased):
            erase_name(self.key(change.target), change.context.recorded)
        elif isinstance(event, GuestEnded):
            values = {"ended": change.context.recorded}
        else:
            values = {
                "organization": event.organization,
                "units": list(event.units),
                "why": event.why,
                "until": datetime.fromisoformat(event.until),
            }
        Guest.objects.filter(pk=self.key(change.target)).update(**values, version=loaded.version)
