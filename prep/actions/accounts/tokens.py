"""Tokens of the API: issue, sign in and out, and find whose one is.

A small part of our own and no library: none binds a row to a key outside the database, narrows its
bearer by scope and yard, and is known to the log.
"""

from dataclasses import dataclass
from datetime import timedelta
from enum import StrEnum
from typing import Final
from uuid import UUID, uuid4

from django.db.models import Exists, F, OuterRef
from django.db.models.functions import Coalesce
from django.utils import timezone
from django.utils.crypto import constant_time_compare

from prep.actions.accounts.devices import proves
from prep.actions.accounts.fingerprints import fingerprint, fits
from prep.actions.accounts.token_text import digest, hint, new_text, well_formed
from prep.actions.locks import share
from prep.models import Membership, Person, Token
from prep.record.refusal import Refusal
from prep.record.token.scopes import Scope

SIGNED_IN: Final = timedelta(hours=12)  # a working day
COARSE: Final = timedelta(hours=1)  # between two notes of when a token was used
FIELD: Final = "token"


class Dead(StrEnum):
    """Why a token lets nobody in; each has its sentence in `prep.words.api_problems`."""

    MISTYPED = "token-mistyped"
    UNKNOWN = "token-unknown"
    EXPIRED = "token-expired"
    ENDED = "token-ended"
    ELSEWHERE = "token-elsewhere"


@dataclass(frozen=True)
class Made:
    """A token that was made, and its text, which is shown once."""

    token: Token
    text: str


def new_token(
    person: Person, key: UUID, *, name: str, scopes: tuple[Scope, ...], site: str, days: int
) -> Made:
    """A token of a program, not stored yet."""
    row = Token(id=key, person=person, name=name, site_id=site or None)
    row.scopes = sorted({scope.value for scope in scopes})
    return _made(row, timedelta(days=days))


def sign_in(person: Person, device: UUID | None = None) -> Made:
    """Sign somebody in whose password was right: a token for a working day, with all they may do.

    One made on a device of a yard is of no use without that device's key, and ends when the device
    is revoked. No event tells of it, as of no page that is opened; those that ended are cleared.
    """
    now = timezone.now()
    Token.objects.filter(person=person, signed_in=True, expires__lt=now).delete()
    row = Token(id=uuid4(), person=person, signed_in=True, device_id=device, used=now)
    made = _made(row, SIGNED_IN)
    made.token.save(force_insert=True)
    return made


def sign_out(token: str) -> None:
    """End one sign-in."""
    Token.objects.filter(pk=token, signed_in=True).delete()


def sign_out_everywhere(person: Person) -> None:
    """End every sign-in of a person to the API; tokens of programs stay."""
    Token.objects.filter(person=person, signed_in=True).delete()


def sign_out_device(device: UUID) -> None:
    """End every sign-in to the API on a device, whosever it is."""
    Token.objects.filter(device=device, signed_in=True).delete()


def bearer(text: str, device_key: str = "") -> Person | Dead:
    """Whoever a token lets in, narrowed to what it is for; or why it lets nobody in. One query.

    `device_key` is what came with it as the id and key of a device.
    """
    if not well_formed(text):
        return Dead.MISTYPED
    at_its_yard = Coalesce(OuterRef("site"), F("site"))
    works_there = Membership.objects.filter(site=at_its_yard, person=OuterRef("person"))
    rows = Token.objects.select_related("person", "device").annotate(works=Exists(works_there))
    row = rows.filter(digest=digest(text)).first()
    if row is None or not _is_ours(row, text):
        return Dead.UNKNOWN
    if row.expires <= timezone.now():
        return Dead.EXPIRED
    if row.revoked or not row.person.is_active or not (row.signed_in or row.works):
        return Dead.ENDED
    if row.device is not None and not proves(device_key, row.device):
        return Dead.ELSEWHERE
    row.person.access = row.access()
    _note_use(row)
    return row.person


def still_good(token: str) -> None:
    """Refuse a command by a token that was revoked, or ran out, since its request came.

    The row is shared until the transaction ends, so that whoever revokes it waits for this one.
    """
    row = share(Token, UUID(token))
    if row is None or row.revoked or row.expires <= timezone.now():
        raise Refusal("token-ended")


def _made(row: Token, lasts: timedelta) -> Made:
    text = new_text()
    row.digest, row.hint = digest(text), hint(text)
    row.issued = timezone.now()
    row.expires = row.issued + lasts
    row.fingerprint = fingerprint(str(row.person_id), FIELD, row.said())
    return Made(row, text)


def _is_ours(row: Token, text: str) -> bool:
    return (
        constant_time_compare(row.digest, digest(text))
        and fits(row.fingerprint, str(row.person_id), FIELD, row.said()) is True
    )


def _note_use(row: Token) -> None:
    """Note that a token was used, at most once an hour: a read writes next to nothing."""
    now = timezone.now()
    if row.used is None or now - row.used >= COARSE:
        Token.objects.filter(pk=row.pk).update(used=now)
