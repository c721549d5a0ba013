"""Every kind of stream that commands write to."""

from typing import Final

from prep.actions.streams.buyers import BuyerStream
from prep.actions.streams.devices import DeviceStream
from prep.actions.streams.guests import GuestStream
from prep.actions.streams.instruments import InstrumentStream
from prep.actions.streams.manufacturers import ManufacturerStream
from prep.actions.streams.people import PersonStream
from prep.actions.streams.published import ModelStream, ProcedureStream
from prep.actions.streams.refused import RefusedStream
from prep.actions.streams.sites import SiteStream
from prep.actions.streams.stream import Stream
from prep.actions.streams.units import UnitStream

UNITS: Final = UnitStream()

STREAMS: Final[dict[str, Stream]] = {
    stream.name: stream
    for stream in (
        UNITS,
        BuyerStream(),
        GuestStream(),
        DeviceStream(),
        InstrumentStream(),
        ManufacturerStream(),
        ModelStream(),
        PersonStream(),
        ProcedureStream(),
        RefusedStream(),
        SiteStream(),
    )
}
