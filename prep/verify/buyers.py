"""Verification of buyers: the details kept beside the log against the digests in their streams."""

from collections.abc import Iterator
from contextlib import suppress

import msgspec

from prep.actions.beside_the_log.buyer_details import NOTHING
from prep.models import Buyer, Event
from prep.record.buyer.events import BuyerAdded, BuyerDetailsAmended
from prep.record.buyer.state import fold_buyer
from prep.record.reference_events import decode
from prep.verify.findings import Code, Finding
from prep.verify.names import buyer_name


def digests_of(key: str) -> list[str]:
    """Digests of a buyer's details by the buyer's own events, oldest first.

    An event that cannot be read is passed over; the check of events has a finding for it.
    """
    events = Event.objects.filter(stream="buyer", stream_id=key).order_by("version")
    digests = []
    for body in events.values_list("body", flat=True):
        with suppress(msgspec.MsgspecError):
            event = decode(body)
            if isinstance(event, BuyerAdded | BuyerDetailsAmended):
                digests.append(event.buyer.digest)
    return digests


def buyer(key: str) -> Iterator[Finding]:
    """Check that a buyer's row, and the former details, are those the events speak of.

    Of one who was erased nothing may be left.
    """
    for code in _faults(key):
        yield Finding("buyer", key, code, {"buyer": buyer_name(key), "id": key})


def _faults(key: str) -> Iterator[Code]:
    events = Event.objects.filter(stream="buyer", stream_id=key).order_by("version")
    said = fold_buyer(decode(one.body) for one in events)
    last = events.last()
    assert last is not None  # a buyer is known by their events
    row = Buyer.objects.filter(pk=key).first()
    if row is None:
        yield "buyer-missing"
        return
    former = [details.digest() for details in row.former.order_by("id")]
    if row.site_id != last.site:
        yield "buyer-moved"
    if row.held != said.held:
        yield "buyer-hold-altered"
    if said.erased:
        left = {name: getattr(row, name) for name in NOTHING}
        if former or left != NOTHING or row.erased is None:
            yield "buyer-not-erased"
        elif row.erased != last.recorded:
            yield "buyer-erasure-altered"
    elif row.erased:
        yield "buyer-called-erased"
    elif [*former, row.digest()] != digests_of(key):
        yield "buyer-altered"
