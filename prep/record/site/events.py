"""Events of a site's stream: the yard and the roles people hold there."""

from prep.record.log.reference_event import ReferenceEvent


class SiteOpened(ReferenceEvent, frozen=True, tag="site.opened"):
    """A yard was opened, or its details changed."""

    code: str
    name: str
    time_zone: str
    dealer: str


class MemberAdded(ReferenceEvent, frozen=True, tag="site.member_added"):
    """A person was given a role at the site."""

    person: str
    name: str
    role: str


class MemberRemoved(ReferenceEvent, frozen=True, tag="site.member_removed"):
    """A role at the site was taken from a person."""

    person: str
    name: str
    role: str


class SystemAdded(ReferenceEvent, frozen=True, tag="site.system_added"):
    """A program got an account of its own at the site; it is no person."""

    person: str
    name: str


class KeeperAdded(ReferenceEvent, frozen=True, tag="site.keeper_added"):
    """An address outside gets the daily checkpoint from now on.

    The address is beside the log; `digest` is the salted digest of it.
    """

    keeper: str
    digest: str
    language: str


class KeeperRemoved(ReferenceEvent, frozen=True, tag="site.keeper_removed"):
    """An address gets no more checkpoints; it is kept nowhere."""

    keeper: str
