"""Events of the streams that are not units: sites, models, instruments, procedures.

Each of these events states the whole of what it is about, so the last one of a stream is its
present state and no fold is needed.
"""

from typing import Any

import msgspec

from prep.record.facts import InstrumentFacts, ModelFacts


class ShopEvent(msgspec.Struct, frozen=True, tag_field="kind"):
    """A fact about something that is not a unit."""


class SiteOpened(ShopEvent, frozen=True, tag="site.opened"):
    """A yard of the dealership, or its changed particulars."""

    code: str
    name: str
    time_zone: str
    dealer: str


class MemberAdded(ShopEvent, frozen=True, tag="site.member_added"):
    """A person holds a role at the site."""

    person: str
    name: str
    role: str


class MemberRemoved(ShopEvent, frozen=True, tag="site.member_removed"):
    """A person no longer holds a role at the site."""

    person: str
    name: str
    role: str


class ModelPublished(ShopEvent, frozen=True, tag="model.published"):
    """A revision of a model's or a tractor's data."""

    facts: ModelFacts
    sort: str


class InstrumentRecorded(ShopEvent, frozen=True, tag="instrument.recorded"):
    """An instrument as it now is: registered, calibrated, or taken out of service, and why."""

    facts: InstrumentFacts
    site: str
    reason: str


class ProcedurePublished(ShopEvent, frozen=True, tag="procedure.published"):
    """A revision came into force. `document` is the whole of it and never changes."""

    procedure: str
    revision: int
    digest: str
    document: dict[str, Any]


AnyShopEvent = (
    SiteOpened
    | MemberAdded
    | MemberRemoved
    | ModelPublished
    | InstrumentRecorded
    | ProcedurePublished
)

_decoder: msgspec.json.Decoder[AnyShopEvent] = msgspec.json.Decoder(AnyShopEvent)


def decode(body: str | bytes) -> AnyShopEvent:
    """Event from its JSON text."""
    return _decoder.decode(body)
