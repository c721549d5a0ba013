"""Verification of accounts: each row against the events about it, and nobody above the roles.

The hashes of passwords and PINs are held against keyed fingerprints in the log, and so are the
digests of invitations: somebody who puts one of their own there, or exchanges those of two people,
cannot make the fingerprint of it.
"""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, datetime
from typing import Any

import msgspec
from django.db import transaction

from prep.actions.accounts.fingerprints import fits
from prep.actions.accounts.invitations import fits_row
from prep.actions.locks import lock
from prep.actions.streams.people import row_of
from prep.models import Card, Event, Invitation, Person
from prep.record.person.events import PersonEnrolled, PersonInvited
from prep.record.person.state import NOBODY, PersonState, after
from prep.record.reference_events import AnyReferenceEvent, decode
from prep.verify.findings import Code, Finding, Result, Statement, Tell
from prep.verify.index import differing
from prep.verify.intact import intact
from prep.verify.log import pages, readable
from prep.verify.names import person_name

STREAM = "person"


def accounts(tell: Tell) -> Iterator[Result]:
    """Check every account with its invitations and cards, and that none is missing."""
    total, done, foreign = Person.objects.count(), 0, 0
    for page in pages(Person.objects.all(), "id"):
        rows, known = readable(Person.objects.all(), page), _recorded(page)
        for key in page:
            if any(_account(key, rows.get(key), known[key])):
                # Again while nobody can change it: it may just have been changed.
                with transaction.atomic():
                    row = lock(Person, key)
                    findings = list(_account(key, row, _recorded([key])[key]))
                    judged = not findings or intact(STREAM, str(key))
                # That nobody stands above the roles needs no event to say so.
                yield from (one for one in findings if judged or one.code == "account-above-roles")
                if not judged:
                    values = {"stream": STREAM, "owner": person_name(str(key)), "id": str(key)}
                    yield Statement("stream-unjudged", values, proved=False)
            foreign += _is_foreign(key, known[key])
        done += len(page)
        tell("accounts", done, total)
    yield from _missing()
    if foreign:
        yield Statement("accounts-other-secret", {"count": foreign}, proved=False)


def _recorded(people: Sequence[int]) -> dict[int, PersonState]:
    """Each account as its events leave it."""
    known = dict.fromkeys(people, NOBODY)
    events = Event.objects.filter(stream=STREAM, stream_id__in=[str(key) for key in people])
    for key, body in events.order_by("version").values_list("stream_id", "body"):
        event = _decoded(body)
        try:
            known[int(key)] = after(known[int(key)], event) if event else known[int(key)]
        except KeyError:  # it is about something that no event made, which another check says
            continue
    return known


def _decoded(body: str) -> AnyReferenceEvent | None:
    """An event of an account; None where it cannot be read, which another check says."""
    try:
        return decode(body)
    except msgspec.MsgspecError:
        return None


def _account(key: int, row: Person | None, known: PersonState) -> Iterator[Finding]:
    """What is wrong with one account."""
    if row is None:
        return  # deleted meanwhile; what is missing has its own finding
    for code in _faults(str(key), row, known):
        values = {"person": known.name or str(row), "username": row.username}
        yield Finding("account", str(key), code, values)
    owner = ("account", known.name or str(row))
    yield from differing(owner, "invitation", *_invitations(key, known))
    yield from differing(owner, "card", *_cards(key, known))


def _faults(key: str, row: Person, known: PersonState) -> Iterator[Code]:
    if row.is_superuser or row.is_staff:
        yield "account-above-roles"
    if known is NOBODY:
        yield "account-added"
        return
    if (row.username, row.printed_name) != (known.username, known.name):
        yield "account-renamed"
    columns = row_of(known)
    if any(getattr(row, name) != columns[name] for name in ("is_active", "status")):
        yield "account-activity"
    if any(getattr(row, name) != columns[name] for name in ("language", "units", "decimal_comma")):
        yield "account-preferences"
    if row.contact() != known.contact:
        yield "account-contact"
    if _differs(known.password, key, "password", row.password):
        yield "account-password"
    if _differs(known.pin, key, "pin", row.pin):
        yield "account-pin"


def _differs(known: str, key: str, field: str, held: str) -> bool:
    """Whether a hash is another than the one that was set; of one that was not, whether it is."""
    return fits(known, key, field, held) is False if known else bool(held)


def _invitations(key: int, known: PersonState) -> tuple[Mapping[str, Any], Mapping[str, Any]]:
    """Invitations as the events have them, and as they are stored."""
    expected = {
        name: {
            "purpose": one.invitation.purpose,
            "expires": datetime.fromisoformat(one.invitation.expires),
            "state": one.state.value,
            "link": True,
        }
        for name, one in known.invitations.items()
    }
    stored = {}
    for row in Invitation.objects.filter(person=key):
        one = known.invitations.get(str(row.pk))
        fitting = one is not None and fits_row(one.invitation.fingerprint, row) is not False
        stored[str(row.pk)] = {
            "purpose": row.purpose,
            "expires": row.expires,
            "state": row.state,
            "link": fitting,
        }
    return expected, stored


def _cards(key: int, known: PersonState) -> tuple[Mapping[str, Any], Mapping[str, Any]]:
    """Training cards as the events have them, and as they are stored."""
    expected = {
        name: {
            "kind": one.recorded.card_kind,
            "manufacturer": one.recorded.manufacturer,
            "valid_until": date.fromisoformat(one.recorded.valid_until),
            "withdrawn": one.withdrawn,
            "number": one.recorded.digest,
        }
        for name, one in known.cards.items()
    }
    stored = {
        str(row.pk): {
            "kind": row.kind,
            "manufacturer": row.manufacturer,
            "valid_until": row.valid_until,
            "withdrawn": row.withdrawn,
            "number": row.digest(),
        }
        for row in Card.objects.filter(person=key)
    }
    return expected, stored


def _is_foreign(key: int, known: PersonState) -> bool:
    """Whether an account's fingerprints were made with a secret key that is not known here."""
    return bool(known.password) and fits(known.password, str(key), "password", "") is None


def _missing() -> Iterator[Finding]:
    """Accounts that were made and are not there any more."""
    made = Event.objects.filter(stream=STREAM, version=1)
    for page in pages(made, "id"):
        held = made.filter(pk__in=page).values_list("stream_id", "body")
        known = {int(key): _decoded(body) for key, body in held if key.isdecimal()}
        there = set(Person.objects.filter(pk__in=known).values_list("pk", flat=True))
        for key in sorted(known.keys() - there):
            event = known[key]
            if isinstance(event, PersonEnrolled | PersonInvited):
                values = {"person": event.name, "username": event.username}
                yield Finding("account", str(key), "account-missing", values)
