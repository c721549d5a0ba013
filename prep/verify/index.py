"""Verification of the index: every row against the log folded again, and every photo's bytes.

A difference is checked a second time under the unit's lock, so that an entry made at this moment
is not taken for a forgery.
"""

import hashlib
import json
from collections.abc import Iterator, Mapping
from typing import Any
from uuid import UUID

from django.core.files.storage import default_storage
from django.db import transaction

from prep.actions.index_rows import stored_rows
from prep.actions.streams.units import lock_unit
from prep.models import Event, Photo, Recipient, Unit
from prep.queries.records import Happening, fold_history, history
from prep.record.unit import events as e
from prep.record.unit.state import Record
from prep.record.unit.views.index_rows import rows
from prep.rules.identity.look_alikes import look_alike_key
from prep.verify.buyers import digests_of
from prep.verify.findings import Finding, Tell
from prep.verify.log import pages

CHUNK = 1 << 20
TABLES: Mapping[str, str] = {
    "steps": "step",
    "readings": "reading",
    "flags": "flag",
    "sign_offs": "sign-off",
}


def units(tell: Tell) -> Iterator[Finding]:
    """Check every unit's rows, buyers, recipient and photos against its events."""
    begun = Event.objects.filter(stream="unit", version=1)
    for page in pages(begun, "id"):
        known = {UUID(key) for key in begun.filter(pk__in=page).values_list("stream_id", flat=True)}
        for gone in known - set(Unit.objects.filter(pk__in=known).values_list("pk", flat=True)):
            yield Finding(
                "unit", str(gone), f"The row of unit {gone} is missing; its events stand."
            )
    total, done = Unit.objects.count(), 0
    for page in pages(Unit.objects.all(), "id"):
        for unit in page:
            if any(_unit(unit)):
                with transaction.atomic():
                    lock_unit(unit)
                    findings = list(_unit(unit))
                yield from findings
        done += len(page)
        tell("units", done, total)


def _unit(unit: UUID) -> Iterator[Finding]:
    try:
        past = history(unit)
        record = fold_history(past)
        expected = rows(record)
    except Exception as wrong:
        yield _about(unit, f"Its events cannot be replayed any more ({wrong!r}).")
        return
    try:
        stored = stored_rows(unit)
    except Exception as wrong:
        yield _about(unit, f"Its rows cannot be read ({wrong!r}).")
        return
    yield from _unit_row(unit, record, expected.unit, stored["unit"])
    for table, name in TABLES.items():
        yield from differing(unit, name, getattr(expected, table), stored[table])
    yield from _buyers(unit, past, record)
    yield from _recipient(record)
    yield from _photos(unit, record)


def _about(unit: UUID, text: str) -> Finding:
    return Finding("unit", str(unit), f"Unit {unit}: {text}")


def _unit_row(
    unit: UUID, record: Record, expected: dict[str, Any], stored: dict[str, Any]
) -> Iterator[Finding]:
    if record.version == 0:
        yield _about(unit, "No event speaks of it: the row was added.")
        return
    first = Event.objects.filter(stream="unit", stream_id=str(unit), version=1)
    expected = {
        **expected,
        "site_id": first.values_list("site", flat=True).get(),
        "look_alike_key": look_alike_key(record.serial),
    }
    for column, right in expected.items():
        if not same(stored[column], right):
            text = f"“{column}” is {stored[column]!r}; by the log it is {right!r}."
            yield _about(unit, text)


def differing(
    owner: object, name: str, expected: Mapping[str, Any], stored: Mapping[str, Any]
) -> Iterator[Finding]:
    """Findings for rows, by key, that are missing, added or altered.

    `name` is the sort of row and `owner` what it belongs to, as they stand in the sentences.
    """
    for key in expected.keys() | stored.keys():
        if key not in stored:
            yield Finding(name, key, f"The {name} {key} of {owner} is missing.")
        elif key not in expected:
            yield Finding(name, key, f"The {name} {key} of {owner} was added; no event says so.")
        else:
            right = expected[key]
            changed = [column for column in right if not same(stored[key][column], right[column])]
            if changed:
                text = f"The {name} {key} of {owner} was altered: {', '.join(changed)}."
                yield Finding(name, key, text)


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
        if not set(digests) <= set(known):
            yield _about(unit, f"It refers to details of buyer {key} that no event of theirs has.")
        elif record.buyer and record.buyer.id == key and digests[-1] != known[-1]:
            yield _about(unit, f"It does not refer to the newest details of buyer {key}.")


def _recipient(record: Record) -> Iterator[Finding]:
    """Check a recipient's details against the digest of them in the log."""
    if not record.handover:
        return
    handover = record.handover[0]
    key = handover.handover
    row = Recipient.objects.filter(pk=key).first()
    if row is None:
        yield Finding("recipient", key, f"The recipient {key} is missing.")
    elif row.erased:
        if row.salt:
            yield Finding("recipient", key, f"The recipient {key} is called erased and is not.")
    elif row.digest() != handover.recipient_digest:
        yield Finding("recipient", key, f"The particulars of recipient {key} were altered.")


def _photos(unit: UUID, record: Record) -> Iterator[Finding]:
    """Check the rows and bytes of a unit's photos."""
    stored = {str(photo.pk): photo for photo in Photo.objects.filter(unit=unit)}
    expected = {event.photo: {"digest": event.digest} for event, _ in record.photos}
    stored_digests = {key: {"digest": photo.digest} for key, photo in stored.items()}
    yield from differing(f"unit {unit}", "photo", expected, stored_digests)
    for key, photo in stored.items():
        if key in expected:
            text = wrong_file(str(photo.file), expected[key]["digest"])
            if text:
                yield Finding("file", str(photo.file), f"The picture {photo.file} {text}")


def wrong_file(name: str, digest: str) -> str:
    """What is wrong with a stored file whose SHA-256 (hex) is known; empty if nothing is.

    The file is read in pieces of CHUNK bytes.
    """
    hashed = hashlib.sha256()
    try:
        with default_storage.open(name, "rb") as opened:
            for piece in opened.chunks(CHUNK):
                hashed.update(piece)
    except (OSError, ValueError) as wrong:
        return f"cannot be read ({wrong})."
    return "" if hashed.hexdigest() == digest else "was altered: its digest is another."
