"""Events of a guest's stream. The name stays beside the log; events hold a salted digest of it."""

from prep.record.log.reference_event import ReferenceEvent


class GuestAdmitted(ReferenceEvent, frozen=True, tag="guest.admitted"):
    """Somebody from outside may look at these units until a moment, in RFC 3339, and why."""

    site: str
    digest: str
    organization: str
    units: tuple[str, ...]
    until: str
    why: str


class GuestErased(ReferenceEvent, frozen=True, tag="guest.erased"):
    """A guest's name was erased, and why; the digest in the log resolves to nothing."""

    reason: str


class GuestEnded(ReferenceEvent, frozen=True, tag="guest.ended"):
    """A guest's visit was ended before its time, and why."""

    reason: str
