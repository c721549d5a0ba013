"""Verification of the index: every row against the log folded again, and every photo's bytes.

A difference is checked a second time under the unit's lock, so that an entry made at this moment
is not taken for a forgery.
"""

import hashlib
import json
from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple
from uuid import UUID

from django.core.files.storage import default_storage
from django.db import transaction

from prep.actions.beside_the_log.erasure import NOBODY
from prep.actions.beside_the_log.pictures import PHOTO
from prep.actions.index_rows import stored_rows
from prep.actions.streams.units import lock_unit
from prep.models import Event, Photo, Recipient, Unit
from prep.queries.records import Happening, fold_history, history
from prep.record.unit import events as e
from prep.record.unit.state import Record
from prep.record.unit.views.index_rows import rows
from prep.verify.buyers import digests_of
from prep.verify.findings import Code, Finding, Result, Statement, Tell
from prep.verify.intact import intact
from prep.verify.log import pages
from prep.verify.names import buyer_name, unit_name

CHUNK = 1 << 20
Owner = tuple[str, str]  # the sort and the name of what a row belongs to
TABLES: Mapping[str, str] = {
    "steps": "step",
    "readings": "reading",
    "flags": "flag",
    "sign_offs": "sign-off",
    "shortages": "shortage",
}


def units(tell: Tell) -> Iterator[Result]:
    """Check every unit's rows, buyers, recipient and photos against its events."""
    begun = Event.objects.filter(stream="unit", version=1)
    for page in pages(begun, "id"):
        known = {UUID(key) for key in begun.filter(pk__in=page).values_list("stream_id", flat=True)}
        for gone in known - set(Unit.objects.filter(pk__in=known).values_list("pk", flat=True)):
            yield _about(gone, "unit-missing")
    total, done = Unit.objects.count(), 0
    for page in pages(Unit.objects.all(), "id"):
        for unit in page:
            if any(_unit(unit)):
                with transaction.atomic():
                    lock_unit(unit)
                    results = list(_judged(unit))
                yield from results
        done += len(page)
        tell("units", done, total)


def _judged(unit: UUID) -> Iterator[Result]:
    """What is wrong with a unit's rows; only that it cannot be told where its events are not
    proved."""
    findings = list(_unit(unit))
    if findings and not intact("unit", str(unit)):
        yield Statement("unit-unjudged", {"unit": unit_name(unit), "id": str(unit)}, proved=False)
    else:
        yield from findings


def _unit(unit: UUID) -> Iterator[Finding]:
    try:
        past = history(unit)
        record = fold_history(past)
        expected = rows(record)
    except Exception as wrong:
        yield _about(unit, "unit-unreplayable", detail=repr(wrong))
        return
    try:
        stored = stored_rows(unit)
    except Exception as wrong:
        yield _about(unit, "unit-unreadable", detail=repr(wrong))
        return
    yield from _unit_row(unit, record, expected.unit, stored["unit"])
    for table, name in TABLES.items():
        owner = ("unit", unit_name(unit))
        yield from differing(owner, name, getattr(expected, table), stored[table])
    yield from _buyers(unit, past, record)
    yield from _recipient(record)
    yield from _photos(unit, record)


def _about(unit: UUID, code: Code, **values: str) -> Finding:
    return Finding("unit", str(unit), code, {"unit": unit_name(unit), "id": str(unit), **values})


def _unit_row(
    unit: UUID, record: Record, expected: dict[str, Any], stored: dict[str, Any]
) -> Iterator[Finding]:
    if record.version == 0:
        yield _about(unit, "unit-added")
        return
    first = Event.objects.filter(stream="unit", stream_id=str(unit), version=1)
    expected = {
        **expected,
        "site_id": first.values_list("site", flat=True).get(),
    }
    for column, right in expected.items():
        if not same(stored[column], right):
            values = {"stored": repr(stored[column]), "right": repr(right)}
            yield _about(unit, "unit-column", column=column, **values)


def differing(
    owner: Owner, name: str, expected: Mapping[str, Any], stored: Mapping[str, Any]
) -> Iterator[Finding]:
    """Findings for rows, by key, that are missing, added or altered.

    `name` is the sort of row, and `owner` the sort and the name of what it belongs to.
    """
    for key in expected.keys() | stored.keys():
        known = {**stored.get(key, {}), **expected.get(key, {})}
        row = {"sort": name, "key": key, "owner": owner, "label": _label(known)}
        if key not in stored:
            yield Finding(name, key, "row-missing", row)
        elif key not in expected:
            yield Finding(name, key, "row-added", row)
        else:
            right = expected[key]
            changed = [column for column in right if not same(stored[key][column], right[column])]
            if changed:
                yield Finding(name, key, "row-altered", {**row, "columns": changed})


def _label(row: Mapping[str, Any]) -> str:
    """What people know a row by; empty where its key says it."""
    if "part" in row:
        return str(row["part"])
    place = (row.get("step"), row.get("line"), row.get("position"))
    return " ".join(str(part) for part in place if part)


def same(stored: Any, expected: Any) -> bool:
    """Whether two values of a column are equal. In JSON, true is not 1 and 1 is not 1.0."""
    if isinstance(expected, dict | list):
        return json.dumps(stored, sort_keys=True) == json.dumps(expected, sort_keys=True)
    return bool(stored == expected)


def _buyers(unit: UUID, past: list[Happening], record: Record) -> Iterator[Finding]:
    """Check every reference to a buyer against the buyer's own events.

    The details themselves are checked once for each buyer, by `reference_data`.
    """
    references: dict[str, list[str]] = {}
    for happening in past:
        event = happening.event
        if isinstance(event, e.BuyerAssigned | e.BuyerAmended):
            references.setdefault(event.buyer.id, []).append(event.buyer.digest)
    for key, digests in references.items():
        known = digests_of(key)
        code: Code | None = None
        if not set(digests) <= set(known):
            code = "buyer-reference-unknown"
        elif record.buyer and record.buyer.id == key and digests[-1] != known[-1]:
            code = "buyer-reference-old"
        if code and intact("buyer", key):
            yield _about(unit, code, buyer=buyer_name(key), buyer_id=key)


def _recipient(record: Record) -> Iterator[Finding]:
    """Check a recipient's details against the digest of them in the log."""
    if not record.handover:
        return
    handover = record.handover[0]
    key = handover.handover
    row = Recipient.objects.filter(pk=key).first()
    named = {"unit": f"{record.maker} {record.serial}", "recipient": key}
    if row is None:
        yield Finding("recipient", key, "recipient-missing", named)
    elif row.erased or record.recipient_erased:
        if not (row.erased and record.recipient_erased):
            yield Finding("recipient", key, "recipient-called-erased", named)
        elif row.salt or row.name != NOBODY:
            yield Finding("recipient", key, "recipient-not-erased", named)
    elif row.digest() != handover.recipient_digest:
        yield Finding("recipient", key, "recipient-altered", named)


def _photos(unit: UUID, record: Record) -> Iterator[Finding]:
    """Check the rows of a unit's photos, and the bytes of each and of its small copy.

    Whether the files of erased ones are gone, the check of stored files says.
    """
    erased = record.erased_photos
    expected: dict[str, dict[str, Any]] = {
        event.photo: {
            "digest": event.digest,
            "small": event.small,
            "people": event.people,
            "erased": event.photo in erased,
        }
        for event, _ in record.photos
    }
    stored = {
        str(photo.pk): {
            "digest": photo.digest,
            "small": photo.small,
            "people": photo.people,
            "erased": photo.erased is not None,
        }
        for photo in Photo.objects.filter(unit=unit)
    }
    yield from differing(("unit", unit_name(unit)), "photo", expected, stored)
    for key in (expected.keys() & stored.keys()) - erased:
        for digest in sorted({expected[key]["digest"], expected[key]["small"]}):
            file = PHOTO.file(digest)
            unreadable, altered = read_file(file, digest)
            if unreadable:
                values = {"file": file, "unit": unit_name(unit), "detail": unreadable}
                yield Finding("file", file, "photo-unreadable", values)
            elif altered:
                values = {"file": file, "unit": unit_name(unit)}
                yield Finding("file", file, "photo-altered", values)


class FileRead(NamedTuple):
    """What reading a stored file gave: why it cannot be read, if so, and whether it is another."""

    unreadable: str
    altered: bool


def read_file(name: str, digest: str) -> FileRead:
    """Read a stored file whose SHA-256 (hex) is known, in pieces of CHUNK bytes."""
    hashed = hashlib.sha256()
    try:
        with default_storage.open(name, "rb") as opened:
            for piece in opened.chunks(CHUNK):
                hashed.update(piece)
    except (OSError, ValueError) as wrong:
        return FileRead(str(wrong), altered=False)
    return FileRead("", altered=hashed.hexdigest() != digest)
