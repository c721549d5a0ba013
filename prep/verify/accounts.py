"""Verification of accounts: each row against the last event about it, and nobody above the roles.

The hashes of passwords and PINs are held against keyed fingerprints in the log: somebody who puts
a hash of their own there, or exchanges those of two people, cannot make the fingerprint of it.
"""

from collections.abc import Iterator, Sequence

import msgspec
from django.db import transaction

from prep.actions.accounts.fingerprints import fits
from prep.actions.accounts.tokens import FIELD
from prep.actions.locks import lock
from prep.models import Event, Person, Token
from prep.record.account.events import AccountRecorded
from prep.record.reference_events import decode
from prep.verify.findings import Code, Finding, Result, Statement, Tell
from prep.verify.intact import intact
from prep.verify.log import pages, readable
from prep.verify.names import person_name

STREAM = "account"


def accounts(tell: Tell) -> Iterator[Result]:
    """Check every account, and that none is missing."""
    total, done, foreign = Person.objects.count(), 0, 0
    for page in pages(Person.objects.all(), "id"):
        rows, known = readable(Person.objects.all(), page), _recorded(page)
        for key in page:
            if any(_account(key, rows.get(key), known.get(key))):
                # Again while nobody can change it: it may just have been changed.
                with transaction.atomic():
                    row = lock(Person, key)
                    findings = list(_account(key, row, _recorded([key]).get(key)))
                    judged = not findings or intact(STREAM, str(key))
                # That nobody stands above the roles needs no event to say so.
                yield from (one for one in findings if judged or one.code == "account-above-roles")
                if not judged:
                    values = {"stream": STREAM, "owner": person_name(str(key)), "id": str(key)}
                    yield Statement("stream-unjudged", values, proved=False)
            foreign += _is_foreign(known.get(key))
        done += len(page)
        tell("accounts", done, total)
    yield from _missing()
    if foreign:
        yield Statement("accounts-other-secret", {"count": foreign}, proved=False)


def _recorded(people: Sequence[int]) -> dict[int, AccountRecorded]:
    """The last event about each account."""
    events = Event.objects.filter(stream=STREAM, stream_id__in=[str(key) for key in people])
    held = events.order_by("version").values_list("stream_id", "body")
    return {int(key): event for key, body in held if (event := _decoded(body))}


def _decoded(body: str) -> AccountRecorded | None:
    """An event of an account; None where it cannot be read, which another check says."""
    try:
        event = decode(body)
    except msgspec.MsgspecError:
        return None
    return event if isinstance(event, AccountRecorded) else None


def _account(key: int, row: Person | None, known: AccountRecorded | None) -> Iterator[Finding]:
    """What is wrong with one account."""
    if row is None:
        return  # deleted meanwhile; what is missing has its own finding
    for code in _faults(str(key), row, known):
        values = {"person": known.name if known else str(row), "username": row.username}
        yield Finding("account", str(key), code, values)


def _faults(key: str, row: Person, known: AccountRecorded | None) -> Iterator[Code]:
    if row.is_superuser or row.is_staff:
        yield "account-above-roles"
    if known is None:
        yield "account-added"
        return
    if (row.username, row.printed_name) != (known.username, known.name):
        yield "account-renamed"
    if row.is_active != known.active:
        yield "account-activity"
    if (row.system_at_id or "") != known.system_at:
        yield "account-system"
    if fits(known.password_fingerprint, key, "password", row.password) is False:
        yield "account-password"
    if fits(known.pin_fingerprint, key, "pin", row.pin) is False:
        yield "account-pin"


def _is_foreign(known: AccountRecorded | None) -> bool:
    """Whether an account's fingerprints were made with a secret key that is not known here."""
    return (
        known is not None and fits(known.password_fingerprint, known.person, "password", "") is None
    )


def _missing() -> Iterator[Finding]:
    """Accounts that were made and are not there any more."""
    made = Event.objects.filter(stream=STREAM, version=1)
    for page in pages(made, "id"):
        held = made.filter(pk__in=page).values_list("stream_id", "body")
        known = {int(key): _decoded(body) for key, body in held if key.isdecimal()}
        there = set(Person.objects.filter(pk__in=known).values_list("pk", flat=True))
        for key in sorted(known.keys() - there):
            if event := known[key]:
                values = {"person": event.name, "username": event.username}
                yield Finding("account", str(key), "account-missing", values)


def sign_ins(tell: Tell) -> Iterator[Finding]:
    """Check that the service itself made every sign-in to the API, as it stands: no event tells of
    one, so each row proves itself."""
    rows = Token.objects.filter(signed_in=True).select_related("person").order_by("pk")
    total = rows.count()
    for done, row in enumerate(rows.iterator(), start=1):
        if fits(row.fingerprint, str(row.person_id), FIELD, row.said()) is False:
            yield Finding("sign-in", str(row.pk), "sign-in-added", {"person": str(row.person)})
        tell("sign-ins", done, total)
