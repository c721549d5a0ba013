"""Events of a token: what it was issued for, and that it was revoked."""

from prep.record.log.reference_event import ReferenceEvent


class TokenIssued(ReferenceEvent, frozen=True, tag="token.issued"):
    """A token was issued. `site` is the one yard it is for, empty for all of its bearer's.

    The fingerprint is of everything the token's row says, under a key that is not in the database.
    """

    person: str
    person_name: str
    name: str
    scopes: tuple[str, ...]
    site: str
    expires: str
    fingerprint: str


class TokenRevoked(ReferenceEvent, frozen=True, tag="token.revoked"):
    """A token is worthless from now on."""

    person: str
    name: str
    site: str
