"""Union of all reference events (sites, models, instruments, procedures), and their decoder."""

import msgspec

from prep.record.instrument.events import InstrumentRecorded
from prep.record.model.events import ModelPublished
from prep.record.procedure.events import ProcedurePublished
from prep.record.site.events import MemberAdded, MemberRemoved, SiteOpened

AnyReferenceEvent = (
    SiteOpened
    | MemberAdded
    | MemberRemoved
    | ModelPublished
    | InstrumentRecorded
    | ProcedurePublished
)

_decoder: msgspec.json.Decoder[AnyReferenceEvent] = msgspec.json.Decoder(AnyReferenceEvent)


def decode(body: str | bytes) -> AnyReferenceEvent:
    """Event from its JSON text. Raises msgspec.ValidationError on a body of no known kind."""
    return _decoder.decode(body)
