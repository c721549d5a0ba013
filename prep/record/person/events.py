"""Events of a person: the account as it was made, and each change of it.

A fingerprint is of the hash of a password or PIN, or of the digests of an invitation, under a key
that is not in the database: what is put there by anybody else has another. E-mail, phone and the
numbers of cards stay beside the log; events hold salted digests of them.
"""

import msgspec

from prep.record.log.reference_event import ReferenceEvent


class Invitation(msgspec.Struct, frozen=True):
    """A link and a code, each of which opens an account once, until a moment.

    `purpose` is to `join`, or to `reset` password and PIN.
    """

    id: str
    purpose: str
    expires: str
    fingerprint: str


class PersonEnrolled(ReferenceEvent, frozen=True, tag="person.enrolled"):
    """Somebody was given an account with password and PIN, at the service's console."""

    username: str
    name: str
    language: str
    units: str
    numbers: str
    password: str
    pin: str


class SystemEnrolled(ReferenceEvent, frozen=True, tag="person.system_enrolled"):
    """A program of a site was given an account: no person, and without password and PIN."""

    username: str
    name: str
    system_at: str


class PersonInvited(ReferenceEvent, frozen=True, tag="person.invited"):
    """Somebody was invited; nobody signs in with the account before the invitation is used.

    `contact` is the digest of e-mail and phone, empty where neither is known.
    """

    username: str
    name: str
    language: str
    units: str
    numbers: str
    contact: str
    invitation: Invitation


class PersonRenamed(ReferenceEvent, frozen=True, tag="person.renamed"):
    """The name or the user name was corrected; events before it keep the former one."""

    username: str
    name: str
    reason: str


class InvitationMade(ReferenceEvent, frozen=True, tag="person.invitation_made"):
    """Another link and code were made; the one before opens nothing any more."""

    invitation: Invitation


class InvitationWithdrawn(ReferenceEvent, frozen=True, tag="person.invitation_withdrawn"):
    """The open link and code open nothing any more."""

    invitation: str


class InvitationUsed(ReferenceEvent, frozen=True, tag="person.invitation_used"):
    """The invited person chose password and PIN. `purpose` is the invitation's."""

    invitation: str
    purpose: str
    language: str
    password: str
    pin: str


class PasswordChanged(ReferenceEvent, frozen=True, tag="person.password_changed"):
    """The password was changed."""

    password: str


class PinChanged(ReferenceEvent, frozen=True, tag="person.pin_changed"):
    """The PIN was changed."""

    pin: str


class PreferencesChosen(ReferenceEvent, frozen=True, tag="person.preferences_chosen"):
    """Language, units and number style were chosen."""

    language: str
    units: str
    numbers: str


class ContactChanged(ReferenceEvent, frozen=True, tag="person.contact_changed"):
    """E-mail or phone were changed; `contact` is the digest of both, empty for neither."""

    contact: str


class PersonSuspended(ReferenceEvent, frozen=True, tag="person.suspended"):
    """The person cannot sign in until restored; what they signed stays signed."""

    reason: str


class PersonRestored(ReferenceEvent, frozen=True, tag="person.restored"):
    """The person can sign in again; one who left comes back without roles."""

    reason: str


class PersonLeft(ReferenceEvent, frozen=True, tag="person.left"):
    """The person no longer works here; their roles ended with it."""

    last_day: str


class SignedOutEverywhere(ReferenceEvent, frozen=True, tag="person.signed_out_everywhere"):
    """Every session and token of the person ended."""


class CardRecorded(ReferenceEvent, frozen=True, tag="person.card_recorded"):
    """A training card was recorded; `digest` is the salted digest of its number."""

    card: str
    card_kind: str
    manufacturer: str
    digest: str
    valid_until: str


class CardWithdrawn(ReferenceEvent, frozen=True, tag="person.card_withdrawn"):
    """A training card does not count any more, or was entered by mistake."""

    card: str
    reason: str
