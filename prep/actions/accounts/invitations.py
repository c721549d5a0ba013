"""Invitations: their link and their code, and the one row behind each.

Both follow from the invitation's id and the service's secret key, so the same command sent again
shows the same link, and a mail that failed can be sent later. The database holds only a digest of
the link, which is too long to be guessed, and a keyed one of the code, which is not; and the log a
keyed fingerprint of both, so that a row that somebody puts there opens nothing.
"""

import base64
import hashlib
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final
from uuid import UUID, uuid5

from django.conf import settings
from django.utils.crypto import salted_hmac

from prep.actions.accounts.fingerprints import fingerprint, fits
from prep.models import Invitation
from prep.record.person import events as e
from prep.record.refusal import Refusal
from prep.rules.identity.spoken_codes import CODES, heard_code, spoken_code

VALID: Final = timedelta(days=7)
SALT: Final = "yardproof invitation"
LONGEST_CODE: Final = 30  # characters as typed; whatever is longer is a link


@dataclass(frozen=True)
class Opener:
    """What is shown once: a link, a code to read out, and until when they open the account."""

    link: str
    code: str
    expires: datetime


def new_invitation(
    person: int, command: UUID, purpose: str, now: datetime, *, mail: bool
) -> tuple[Invitation, e.Invitation]:
    """The row of an invitation, not stored yet, and what the log holds of it.

    Its id follows from the command, so that a resend makes no second one.
    """
    key = invitation_id(command)
    row = Invitation(
        id=key,
        person_id=person,
        purpose=purpose,
        expires=now + VALID,
        link=_link_digest(_link_secret(key)),
        code=_code_digest(_code(key)),
        mail_after=now if mail else None,
    )
    return row, e.Invitation(str(key), purpose, row.expires.isoformat(), _fingerprint(row))


def invitation_id(command: UUID) -> UUID:
    """The id of the invitation that a command makes."""
    return uuid5(command, "invitation")


def opener(invitation: Invitation) -> Opener:
    """The link and the code of an invitation."""
    link = f"{settings.ADDRESS}/join/{_link_secret(invitation.pk)}"
    return Opener(link, _code(invitation.pk), invitation.expires)


def opened_by(typed: str) -> Invitation:
    """The invitation that a link's secret or a typed code belongs to, in whatever state.

    Refusal of a code that cannot be one, and of what belongs to none.
    """
    rows = Invitation.objects.select_related("person")
    if len(typed) > LONGEST_CODE:
        found = rows.filter(link=_link_digest(typed)).first()
    else:
        code = heard_code(typed)
        if code is None:
            raise Refusal("code-mistyped", field="code")
        found = rows.filter(code=_code_digest(code)).first()
    if found is None:
        raise Refusal("no-such-invitation", field="code")
    return found


def is_on_record(row: Invitation, known: e.Invitation) -> bool:
    """Whether a row is the one that the log speaks of, with its link, code and end."""
    same = (str(row.pk), row.purpose, row.expires.isoformat()) == (
        known.id,
        known.purpose,
        known.expires,
    )
    return same and fits_row(known.fingerprint, row) is not False


def fits_row(known: str, row: Invitation) -> bool | None:
    """Whether a fingerprint is of a row; None where its key is not known here."""
    return fits(known, str(row.person_id), "invitation", _held(row))


def _fingerprint(row: Invitation) -> str:
    return fingerprint(str(row.person_id), "invitation", _held(row))


def _held(row: Invitation) -> str:
    return f"{row.pk} {row.link} {row.code}"


def _link_secret(key: UUID) -> str:
    made = salted_hmac(f"{SALT} link", str(key), algorithm="sha256").digest()
    return base64.urlsafe_b64encode(made).decode().rstrip("=")


def _code(key: UUID) -> str:
    made = salted_hmac(f"{SALT} code", str(key), algorithm="sha256").digest()
    return spoken_code(int.from_bytes(made) % CODES)


def _link_digest(secret: str) -> str:
    return hashlib.sha256(secret.encode("utf-8", "surrogatepass")).hexdigest()


def _code_digest(code: str) -> str:
    return salted_hmac(f"{SALT} code digest", code, algorithm="sha256").hexdigest()
