"""Commands on a yard itself: what it is called, when it is open, what it prints."""

from collections.abc import Sequence
from typing import Annotated, ClassVar, Final
from zoneinfo import available_timezones

from prep.record.command import Command, Facts, Permission
from prep.record.fields import FILLED, Meta
from prep.record.refusal import Refusal
from prep.record.roles import Context, Role
from prep.record.site.details import (
    DETAILS,
    ClosedDay,
    Country,
    Details,
    FilledText,
    Opening,
    ShortText,
    SiteEmail,
    TimeZone,
    Web,
    in_order,
)
from prep.record.site.events import (
    MemberAdded,
    SiteDescribed,
    SiteHolidaysSet,
    SiteHoursSet,
    SiteLetterheadSet,
    SiteLogoSet,
    SiteOpened,
)
from prep.record.site.holiday_calendar import regions_of
from prep.record.site.needs import LOGO

ADMINISTRATOR: Final = Permission(frozenset({Role.ADMINISTRATOR}))

NewSiteCode = Annotated[
    str,
    Meta(
        max_length=20,
        pattern=r"^[a-z0-9][a-z0-9-]*(?!\n)$",
        description="Short code of the yard in addresses and lists; it never changes.",
        examples=["west"],
        extra={"malformed": "site-code-unfit"},
    ),
]
Line = Annotated[str, Meta(max_length=100, pattern=FILLED)]


class OpenSite(Command, frozen=True, kw_only=True, tag="site.open"):
    """Open a yard, and become its administrator.

    The first one is opened at the console: whoever has access to the server is trusted with it.
    """

    stream: ClassVar[str] = "site"
    permission: ClassVar = ADMINISTRATOR
    creates: ClassVar = True

    site: NewSiteCode
    name: FilledText
    time_zone: TimeZone
    dealer: FilledText

    @classmethod
    def guard(cls, state: object, context: Context) -> None:
        """Each code is one yard."""
        if state is not None:
            raise Refusal("site-known", field="site")

    def decide(
        self, state: object, context: Context, facts: Facts
    ) -> Sequence[SiteOpened | MemberAdded]:
        """The yard is open from now on, and whoever opened it answers for it."""
        self.check()
        who = context.actor
        return [
            SiteOpened(self.site, self.name, self.time_zone, self.dealer),
            MemberAdded(who.id, who.name, Role.ADMINISTRATOR.value),
        ]

    def check(self) -> None:
        """Refuse a time zone that there is not."""
        check_zone(self.time_zone)


class DescribeSite(Command, frozen=True, kw_only=True, tag="site.describe"):
    """Change what a yard is called and where it is, for whatever is printed from now on.

    What was issued keeps what it says. A new time zone counts from now on: days and deadlines that
    are on record stay those of the zone they were counted in.
    """

    stream: ClassVar[str] = "site"
    permission: ClassVar = ADMINISTRATOR

    name: FilledText
    dealer: FilledText
    time_zone: TimeZone
    street: ShortText = ""
    place: ShortText = ""
    region: ShortText = ""
    postal_code: Annotated[str, Meta(max_length=20)] = ""
    country: Country = ""
    phone: Annotated[str, Meta(max_length=60)] = ""
    email: SiteEmail = ""
    web: Web = ""

    def decide(self, state: object, context: Context, facts: Facts) -> Sequence[SiteDescribed]:
        """These are the yard's details from now on."""
        check_zone(self.time_zone)
        if self.country and regions_of(self.country) is None:
            raise Refusal("no-such-country", field="country", typed=self.country)
        return [SiteDescribed(Details(**{name: getattr(self, name) for name in DETAILS}))]


class SetHours(Command, frozen=True, kw_only=True, tag="site.set-hours"):
    """Set when a yard is open, by day of the week; a day may have several spans."""

    stream: ClassVar[str] = "site"
    permission: ClassVar = ADMINISTRATOR

    hours: Annotated[
        tuple[Opening, ...],
        Meta(
            max_length=40,
            description="Empty where the yard keeps no hours.",
            examples=[[{"day": "monday", "opens": "07:30", "closes": "17:00"}]],
        ),
    ]

    def decide(self, state: object, context: Context, facts: Facts) -> Sequence[SiteHoursSet]:
        """The yard is open at these hours from now on."""
        return [SiteHoursSet(in_order(self.hours))]


class SetHolidays(Command, frozen=True, kw_only=True, tag="site.set-holidays"):
    """Set which public holidays a yard keeps, and on which days more it is closed."""

    stream: ClassVar[str] = "site"
    permission: ClassVar = ADMINISTRATOR

    country: Country = ""
    region: Annotated[
        str, Meta(max_length=10, description="ISO 3166-2 without the country.", examples=["IA"])
    ] = ""
    closed: Annotated[
        tuple[ClosedDay, ...],
        Meta(max_length=400, examples=[[{"day": "2026-08-21", "name": "County fair"}]]),
    ] = ()

    def decide(self, state: object, context: Context, facts: Facts) -> Sequence[SiteHolidaysSet]:
        """The yard is closed on these days from now on."""
        self._check_region()
        days = [one.day for one in self.closed]
        if twice := next((day for day in days if days.count(day) > 1), None):
            raise Refusal("closed-twice", field="closed", day=twice)
        closed = tuple(sorted(self.closed, key=lambda one: one.day))
        return [SiteHolidaysSet(self.country, self.region, closed)]

    def _check_region(self) -> None:
        regions = regions_of(self.country) if self.country else ()
        if regions is None:
            raise Refusal("no-such-country", field="country", typed=self.country)
        if self.region and self.region not in regions:
            raise Refusal("no-such-region", field="region", typed=self.region, known=regions)


class SetLetterhead(Command, frozen=True, kw_only=True, tag="site.set-letterhead"):
    """Set the lines that stand under the yard's name on documents."""

    stream: ClassVar[str] = "site"
    permission: ClassVar = ADMINISTRATOR

    lines: Annotated[
        tuple[Line, ...],
        Meta(max_length=4, examples=[["Service department: open six days a week in season"]]),
    ]

    def decide(self, state: object, context: Context, facts: Facts) -> Sequence[SiteLetterheadSet]:
        """Documents issued from now on have these lines."""
        return [SiteLetterheadSet(self.lines)]


class SetLogo(Command, frozen=True, kw_only=True, tag="site.set-logo"):
    """Set the logo that stands on documents: a PNG, JPEG or WebP picture of at most 1 MB.

    It is drawn anew. Documents issued before keep theirs.
    """

    stream: ClassVar[str] = "site"
    permission: ClassVar = ADMINISTRATOR
    attachment: ClassVar = "logo"
    needs: ClassVar = (LOGO,)

    def decide(self, state: object, context: Context, facts: Facts) -> Sequence[SiteLogoSet]:
        """Documents issued from now on have this logo."""
        return [SiteLogoSet(facts[LOGO])]


class RemoveLogo(Command, frozen=True, kw_only=True, tag="site.remove-logo"):
    """Print documents without a logo from now on."""

    stream: ClassVar[str] = "site"
    permission: ClassVar = ADMINISTRATOR

    def decide(self, state: object, context: Context, facts: Facts) -> Sequence[SiteLogoSet]:
        """Documents issued from now on have none."""
        return [SiteLogoSet(None)]


def check_zone(time_zone: str) -> None:
    """Refuse a time zone that is not one of the IANA's."""
    if time_zone not in available_timezones():
        raise Refusal("no-such-time-zone", field="time_zone", typed=time_zone)
