"""Union of all events of streams other than units, and its decoder."""

import msgspec

from prep.record.buyer.events import (
    BuyerAdded,
    BuyerDetailsAmended,
    BuyerErased,
    BuyerHeld,
    BuyerHoldLifted,
)
from prep.record.device.events import DeviceEnrolled, DeviceRenamed, DeviceRevoked
from prep.record.guest.events import GuestAdmitted, GuestEnded, GuestErased
from prep.record.instrument.events import InstrumentMoved, InstrumentRecorded
from prep.record.manufacturer.events import ManufacturerAdded, ManufacturerCorrected
from prep.record.model.events import ModelPublished
from prep.record.person.events import (
    CardRecorded,
    CardWithdrawn,
    ContactChanged,
    InvitationMade,
    InvitationUsed,
    InvitationWithdrawn,
    PasswordChanged,
    PersonEnrolled,
    PersonInvited,
    PersonLeft,
    PersonRenamed,
    PersonRestored,
    PersonSuspended,
    PinChanged,
    PreferencesChosen,
    SignedOutEverywhere,
    SystemEnrolled,
)
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
)
from prep.record.token.events import TokenIssued, TokenRevoked
from prep.record.wording.events import WordingKept

AnyPersonEvent = (
    PersonEnrolled
    | SystemEnrolled
    | PersonInvited
    | PersonRenamed
    | InvitationMade
    | InvitationWithdrawn
    | InvitationUsed
    | PasswordChanged
    | PinChanged
    | PreferencesChosen
    | ContactChanged
    | PersonSuspended
    | PersonRestored
    | PersonLeft
    | SignedOutEverywhere
    | CardRecorded
    | CardWithdrawn
)
AnyReferenceEvent = (
    SiteOpened
    | MemberAdded
    | MemberRemoved
    | SiteDescribed
    | SiteHoursSet
    | SiteHolidaysSet
    | SiteLetterheadSet
    | SiteLogoSet
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
    | BuyerHeld
    | BuyerHoldLifted
    | GuestAdmitted
    | GuestEnded
    | GuestErased
    | WordingKept
    | CommandRefused
    | RefusedSettled
    | TokenIssued
    | TokenRevoked
    | AnyPersonEvent
    | DeviceEnrolled
    | DeviceRenamed
    | DeviceRevoked
)

_decoder: msgspec.json.Decoder[AnyReferenceEvent] = msgspec.json.Decoder(AnyReferenceEvent)


def decode(body: str | bytes) -> AnyReferenceEvent:
    """Event from its JSON text. Raises msgspec.ValidationError on a body of no known kind."""
    return _decoder.decode(body)
