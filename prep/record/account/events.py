"""Events of an account: what it is after each change, its secrets as keyed fingerprints."""

from prep.record.log.reference_event import ReferenceEvent


class AccountRecorded(ReferenceEvent, frozen=True, tag="account.recorded"):
    """An account was made or changed.

    The fingerprints are of the hashes of password and PIN, under a key that is not in the database:
    a hash that is put there by anybody else has another. One with `system_at` is a program's.
    """

    person: str
    username: str
    name: str
    active: bool
    password_fingerprint: str
    pin_fingerprint: str
    system_at: str = ""
