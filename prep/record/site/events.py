"""Events of a site's stream: the yard and the roles people hold there."""

from prep.record.log.reference_event import ReferenceEvent
from prep.record.site.details import ClosedDay, Details, Logo, Opening


class SiteOpened(ReferenceEvent, frozen=True, tag="site.opened"):
    """A yard was opened; whoever opened it is its first administrator."""

    code: str
    name: str
    time_zone: str
    dealer: str


class SiteDescribed(ReferenceEvent, frozen=True, tag="site.described"):
    """A yard's details were changed: these are all of them from now on."""

    details: Details


class SiteHoursSet(ReferenceEvent, frozen=True, tag="site.hours_set"):
    """A yard is open at these hours from now on."""

    hours: tuple[Opening, ...]


class SiteHolidaysSet(ReferenceEvent, frozen=True, tag="site.holidays_set"):
    """A yard keeps the public holidays of a country and region, and is closed on further days."""

    country: str
    region: str
    closed: tuple[ClosedDay, ...]


class SiteLetterheadSet(ReferenceEvent, frozen=True, tag="site.letterhead_set"):
    """These lines stand under a yard's name on documents from now on."""

    lines: tuple[str, ...]


class SiteLogoSet(ReferenceEvent, frozen=True, tag="site.logo_set"):
    """This logo stands on a yard's documents from now on; none where it was taken away."""

    logo: Logo | None


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
