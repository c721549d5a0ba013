"""Union of all events of streams other than units, and its decoder."""

import msgspec

from prep.record.account.events import AccountRecorded
from prep.record.buyer.events import BuyerAdded, BuyerDetailsAmended, BuyerErased
from prep.record.instrument.events import InstrumentMoved, InstrumentRecorded
from prep.record.manufacturer.events import ManufacturerAdded, ManufacturerCorrected
from prep.record.model.events import ModelPublished
from prep.record.procedure.events import ProcedurePublished
from prep.record.refused.events import CommandRefused, RefusedSettled
from prep.record.site.events import (
    KeeperAdded,
    KeeperRemoved,
    MemberAdded,
    MemberRemoved,
    SiteDescribed,
    SiteHolidaysSet,
    SiteHoursSet,
    SiteLetterheadSet,
    SiteLogoSet,
    SiteOpened,
    SystemAdded,
)
from prep.record.token.events import TokenIssued, TokenRevoked
from prep.record.wording.events import WordingKept

AnyReferenceEvent = (
    SiteOpened
    | MemberAdded
    | MemberRemoved
    | SiteDescribed
    | SiteHoursSet
    | SiteHolidaysSet
    | SiteLetterheadSet
    | SiteLogoSet
    | SystemAdded
    | KeeperAdded
    | KeeperRemoved
    | ManufacturerAdded
    | ManufacturerCorrected
    | ModelPublished
    | InstrumentRecorded
    | InstrumentMoved
    | ProcedurePublished
    | BuyerAdded
    | BuyerDetailsAmended
    | BuyerErased
    | WordingKept
    | CommandRefused
    | RefusedSettled
    | AccountRecorded
    | TokenIssued
    | TokenRevoked
)

_decoder: msgspec.json.Decoder[AnyReferenceEvent] = msgspec.json.Decoder(AnyReferenceEvent)


def decode(body: str | bytes) -> AnyReferenceEvent:
    """Event from its JSON text. Raises msgspec.ValidationError on a body of no known kind."""
    return _decoder.decode(body)
