"""Verification of sites, members, models, instruments, procedures and buyers against their streams.

Each event states all of what it is about, so a row must equal the last event of its stream. Of a
buyer the events state digests only.
"""

from collections.abc import Callable, Iterator, Mapping
from datetime import datetime
from typing import Any
from uuid import UUID

import msgspec
from django.db import transaction

from prep.actions.accounts.fingerprints import fits
from prep.actions.accounts.tokens import FIELD
from prep.actions.beside_the_log.guests import NOBODY
from prep.actions.locks import lock
from prep.models import (
    Buyer,
    CheckpointKeeper,
    Device,
    Event,
    Guest,
    Instrument,
    MachineModel,
    Manufacturer,
    Membership,
    ProcedureRevision,
    RefusedCommand,
    Site,
    Token,
)
from prep.record.device.events import DeviceEnrolled, DeviceRenamed, DeviceRevoked
from prep.record.guest.events import GuestAdmitted, GuestEnded, GuestErased
from prep.record.instrument.events import InstrumentMoved, InstrumentRecorded
from prep.record.manufacturer.events import ManufacturerAdded, ManufacturerCorrected
from prep.record.model.events import ModelPublished
from prep.record.procedure.events import ProcedurePublished
from prep.record.reference_events import AnyReferenceEvent, decode
from prep.record.refused.events import CommandRefused, RefusedSettled
from prep.record.site.details import DETAILS
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
from prep.record.site.yard_columns import columns_of
from prep.record.token.events import TokenIssued, TokenRevoked
from prep.verify.buyers import buyer
from prep.verify.findings import Finding, Result, Statement, Tell
from prep.verify.index import differing
from prep.verify.intact import intact
from prep.verify.names import stream_name

Stored = Mapping[str, Mapping[str, Any]]
STREAMS = (
    "site",
    "manufacturer",
    "model",
    "instrument",
    "procedure",
    "buyer",
    "refused",
    "guest",
    "device",
    "token",
)
_TABLES: dict[str, tuple[Any, str]] = {
    "site": (Site, "code"),
    "member": (Membership, "site_id"),
    "keeper": (CheckpointKeeper, "site_id"),
    "manufacturer": (Manufacturer, "id"),
    "model": (MachineModel, "code"),
    "instrument": (Instrument, "code"),
    "procedure": (ProcedureRevision, "procedure"),
    "buyer": (Buyer, "id"),
    "refused": (RefusedCommand, "id"),
    "token": (Token, "id"),
    "guest": (Guest, "id"),
    "device": (Device, "id"),
}
# Rows of which no event tells, and which another check holds.
_WITH_EVENTS: dict[str, dict[str, Any]] = {"token": {"signed_in": False}}


def reference_data(tell: Tell) -> Iterator[Result]:
    """Check every row of these tables against the last event about it."""
    streams = Event.objects.filter(stream__in=STREAMS).order_by("stream", "stream_id")
    known = list(streams.values_list("stream", "stream_id").distinct())
    for done, (stream, name) in enumerate(known, start=1):
        if any(_stream(stream, name)):
            # Checked again under the row's lock: something may be recorded between reading events
            # and rows.
            with transaction.atomic():
                findings = list(_stream(stream, name, locked=True))
                judged = not findings or intact(stream, name)
            if judged:
                yield from findings
            else:
                values = {"stream": stream, "owner": stream_name(stream, name), "id": name}
                yield Statement("stream-unjudged", values, proved=False)
        tell("reference-data", done, len(known))
    if erased := Buyer.objects.exclude(erased=None).count():
        yield Statement("buyers-erased", {"count": erased})
    for table, (model, column) in _TABLES.items():
        stream = "site" if table in {"member", "keeper"} else table
        names = {name for sort, name in known if sort == stream}
        rows = model._default_manager.filter(**_WITH_EVENTS.get(table, {}))
        for row, name in rows.values_list("pk", column).iterator():
            if str(name) in names:
                continue
            if not Event.objects.filter(stream=stream, stream_id=str(name)).exists():
                values = {"sort": table, "key": str(row)}
                yield Finding(table, str(row), "row-unknown", values)


def _stream(stream: str, name: str, *, locked: bool = False) -> Iterator[Finding]:
    try:
        if locked:
            lock(_TABLES[stream][0], name)
        if stream == "buyer":
            yield from buyer(name)
            return
        expected = _expected(stream, name)
        for table, rows in expected.items():
            yield from differing((stream, name), table, rows, _stored(table, name, rows))
    except Exception as wrong:
        values = {"stream": stream, "owner": stream_name(stream, name), "detail": repr(wrong)}
        yield Finding("stream", name, "stream-unreplayable", values)


def _expected(stream: str, name: str) -> dict[str, dict[str, Any]]:
    """Rows that a stream's events give, by table and key."""
    rows: dict[str, dict[str, Any]] = {stream: {}}
    if stream == "site":
        rows["member"], rows["keeper"] = {}, {}
    events = Event.objects.filter(stream=stream, stream_id=name).order_by("version")
    for row in events.iterator(100):
        event = decode(row.body)
        _ROWS[type(event)](rows, event, row)
    return rows


def _plain(facts: msgspec.Struct) -> Any:
    """Facts as they are read back from a JSON column."""
    return msgspec.json.decode(msgspec.json.encode(facts))


def _site(rows: dict[str, dict[str, Any]], event: Any, row: Event) -> None:
    """Columns that no event has said anything of yet are as a new row has them."""
    known = rows["site"].setdefault(row.stream_id, _new_site())
    known |= {**columns_of(event), "version": row.version}


def _new_site() -> dict[str, Any]:
    new = Site()
    columns = (*DETAILS, "hours", "holidays", "letterhead", "logo")
    return {name: getattr(new, name) for name in columns}


def _member_added(rows: dict[str, dict[str, Any]], event: MemberAdded, row: Event) -> None:
    rows["member"][f"{event.person} {event.role}"] = {}


def _member_removed(rows: dict[str, dict[str, Any]], event: MemberRemoved, row: Event) -> None:
    rows["member"].pop(f"{event.person} {event.role}", None)


def _manufacturer(
    rows: dict[str, dict[str, Any]], event: ManufacturerAdded | ManufacturerCorrected, row: Event
) -> None:
    rows["manufacturer"][row.stream_id] = {
        "name": event.name,
        "aliases": list(event.aliases),
        "spellings": "\n".join((event.name, *event.aliases)),
        "version": row.version,
    }


def _keeper_added(rows: dict[str, dict[str, Any]], event: KeeperAdded, row: Event) -> None:
    rows["keeper"][event.keeper] = {"digest": event.digest, "language": event.language}


def _keeper_removed(rows: dict[str, dict[str, Any]], event: KeeperRemoved, row: Event) -> None:
    rows["keeper"].pop(event.keeper, None)


def _model(rows: dict[str, dict[str, Any]], event: ModelPublished, row: Event) -> None:
    rows["model"][event.facts.code] = {
        "sort": event.sort,
        "maker": event.facts.maker,
        "manufacturer": event.facts.manufacturer,
        "name": event.facts.name,
        "revision": event.facts.revision,
        "version": row.version,
        "facts": _plain(event.facts),
    }


def _instrument(
    rows: dict[str, dict[str, Any]], event: InstrumentRecorded | InstrumentMoved, row: Event
) -> None:
    rows["instrument"][event.facts.code] = {
        "site_id": event.site,
        "kind": event.facts.kind,
        "name": event.facts.name,
        "due": event.facts.due,
        "out_of_service": event.facts.out_of_service,
        "version": row.version,
        "facts": _plain(event.facts),
    }


def _procedure(rows: dict[str, dict[str, Any]], event: ProcedurePublished, row: Event) -> None:
    rows["procedure"][event.digest] = {
        "procedure": event.procedure,
        "revision": event.revision,
        "title": event.document["title"],
        "model_codes": event.document["models"],
        "document": event.document,
        "published": row.recorded,
    }


def _refused(rows: dict[str, dict[str, Any]], event: CommandRefused, row: Event) -> None:
    rows["refused"][row.stream_id] = {
        "command": UUID(event.command),
        "unit": event.unit,
        "site": row.site,
        "person": row.actor,
        "settled": False,
        "version": row.version,
    }


def _refused_settled(rows: dict[str, dict[str, Any]], event: RefusedSettled, row: Event) -> None:
    rows["refused"][row.stream_id] |= {"settled": True, "version": row.version}


def _token(rows: dict[str, dict[str, Any]], event: TokenIssued, row: Event) -> None:
    rows["token"][row.stream_id] = {
        "person_id": int(event.person),
        "signed_in": False,
        "name": event.name,
        "scopes": list(event.scopes),
        "site_id": event.site or None,
        "expires": datetime.fromisoformat(event.expires),
        "fingerprint": event.fingerprint,
        "digest": True,  # what is kept of the secret fits the fingerprint
        "revoked": None,
        "version": row.version,
    }


def _guest(rows: dict[str, dict[str, Any]], event: GuestAdmitted, row: Event) -> None:
    rows["guest"][row.stream_id] = {
        "site_id": event.site,
        "organization": event.organization,
        "units": list(event.units),
        "why": event.why,
        "until": datetime.fromisoformat(event.until),
        "digest": event.digest,
        "ended": None,
        "erased": None,
    }


def _device(
    rows: dict[str, dict[str, Any]],
    event: DeviceEnrolled | DeviceRenamed | DeviceRevoked,
    row: Event,
) -> None:
    began = rows["device"].get(row.stream_id) or {
        "enrolled": row.recorded,
        "enrolled_by": row.actor_name,
    }
    rows["device"][row.stream_id] = {
        **began,
        "site_id": event.site,
        "name": event.name,
        "revoked": row.recorded if isinstance(event, DeviceRevoked) else None,
        "key": event.key,
        "version": row.version,
    }


def _token_revoked(rows: dict[str, dict[str, Any]], event: TokenRevoked, row: Event) -> None:
    rows["token"][row.stream_id] |= {"revoked": row.recorded, "version": row.version}


def _guest_erased(rows: dict[str, dict[str, Any]], event: GuestErased, row: Event) -> None:
    rows["guest"][row.stream_id] |= {"erased": row.recorded, "digest": "", "version": row.version}


def _guest_ended(rows: dict[str, dict[str, Any]], event: GuestEnded, row: Event) -> None:
    rows["guest"][row.stream_id] |= {"ended": row.recorded, "version": row.version}


_ROWS: dict[type[AnyReferenceEvent], Callable[[dict[str, dict[str, Any]], Any, Event], None]] = {
    SiteOpened: _site,
    SiteDescribed: _site,
    SiteHoursSet: _site,
    SiteHolidaysSet: _site,
    SiteLetterheadSet: _site,
    SiteLogoSet: _site,
    MemberAdded: _member_added,
    MemberRemoved: _member_removed,
    KeeperAdded: _keeper_added,
    KeeperRemoved: _keeper_removed,
    ManufacturerAdded: _manufacturer,
    ManufacturerCorrected: _manufacturer,
    ModelPublished: _model,
    InstrumentRecorded: _instrument,
    InstrumentMoved: _instrument,
    ProcedurePublished: _procedure,
    CommandRefused: _refused,
    DeviceEnrolled: _device,
    DeviceRenamed: _device,
    DeviceRevoked: _device,
    RefusedSettled: _refused_settled,
    TokenIssued: _token,
    TokenRevoked: _token_revoked,
    GuestAdmitted: _guest,
    GuestEnded: _guest_ended,
    GuestErased: _guest_erased,
}


def _stored(table: str, name: str, expected: Mapping[str, Any]) -> dict[str, Any]:
    """Stored rows of one stream, by key, with the columns that events set."""
    model, column = _TABLES[table]
    rows = model._default_manager.filter(**{column: name})
    if table == "member":
        held = rows.values_list("person_id", "role")
        return {f"{person} {role}": {} for person, role in held}
    if table == "keeper":
        return {str(one.pk): {"digest": one.digest(), "language": one.language} for one in rows}
    if table == "token":
        return {str(one.pk): _stored_token(one) for one in rows.select_related("person")}
    if table == "guest":
        columns = [one for one in next(iter(expected.values()), {}) if one != "digest"]
        return {
            str(one.pk): {
                "digest": _digest_of(one),
                **{name: getattr(one, name) for name in columns},
            }
            for one in rows
        }
    if table == "device":
        return {str(one.pk): _stored_device(one, expected) for one in rows}
    columns = list(next(iter(expected.values()), {}))
    return {str(row.pop("pk")): row for row in rows.values("pk", *columns)}


def _digest_of(row: Guest) -> str:
    """The digest of a guest's name; empty where nothing is left of it."""
    return "" if (row.name, row.salt) == (NOBODY, "") else row.digest()


def _stored_token(row: Token) -> dict[str, Any]:
    """A token's row; under another secret key nobody can tell whether its digest is right."""
    own = fits(row.fingerprint, str(row.person_id), FIELD, row.said())
    columns = ("person_id", "signed_in", "name", "scopes", "site_id", "expires", "fingerprint")
    stored = {name: getattr(row, name) for name in (*columns, "revoked", "version")}
    return {**stored, "digest": own is not False}


def _stored_device(row: Device, expected: Mapping[str, Any]) -> dict[str, Any]:
    """A device's row; its key as the events know it, where it may be that one.

    Under another secret key than its own nobody can tell, and nobody is accused.
    """
    known = expected.get(str(row.pk), {})
    columns = {name: getattr(row, name) for name in known if name != "key"}
    fit = fits(known.get("key", ""), str(row.pk), "key", row.key_digest)
    return {**columns, "key": known.get("key", "") if fit is not False else row.key_digest}
