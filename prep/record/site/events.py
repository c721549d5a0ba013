"""What happened to yards and the people who hold roles there."""

from prep.record.log.reference_event import ReferenceEvent


class SiteOpened(ReferenceEvent, frozen=True, tag="site.opened"):
    """A yard of the dealership, or its changed particulars."""

    code: str
    name: str
    time_zone: str
    dealer: str


class MemberAdded(ReferenceEvent, frozen=True, tag="site.member_added"):
    """A person holds a role at the site."""

    person: str
    name: str
    role: str


class MemberRemoved(ReferenceEvent, frozen=True, tag="site.member_removed"):
    """A person no longer holds a role at the site."""

    person: str
    name: str
    role: str
