"""Opening a yard, describing it, and what it was at any time."""

import io
from datetime import date
from typing import Any

import msgspec
import pytest
from PIL import Image

from prep.actions import sites
from prep.actions.perform import perform
from prep.models import Event, LogoFile, Site
from prep.queries.people import roles_at
from prep.queries.sites import yard_at
from prep.record.refusal import Refusal
from prep.record.roles import Role
from prep.record.site.details import ClosedDay, Opening, Weekday
from prep.record.site.yard_commands import (
    DescribeSite,
    OpenSite,
    RemoveLogo,
    SetHolidays,
    SetHours,
    SetLetterhead,
    SetLogo,
)
from prep.verify.run import verify
from tests.actions.kept import texts
from tests.cast import Yard
from tests.refusals import refused
from tests.stored_files import own_folders, picture

pytestmark = pytest.mark.django_db

WEST = OpenSite(site="west", name="West yard", time_zone="America/Chicago", dealer="Invented")
DETAILS = DescribeSite(
    name="North yard",
    dealer="Invented Implements",
    time_zone="America/Denver",
    street="1 Invented Way",
    place="Nowhere",
    region="IA",
    postal_code="50000",
    country="US",
    phone="+1 555 0100",
)


@pytest.fixture(autouse=True)
def _own_folders(settings: Any, tmp_path: Any) -> None:
    own_folders(settings, tmp_path)


def test_a_yard_opens_in_a_time_zone_there_is(yard: Yard) -> None:
    """Days and deadlines are the yard's, so a misspelled zone is refused, not guessed."""
    wrong = msgspec.structs.replace(WEST, time_zone="America/Chicgo")
    refused("no-such-time-zone", sites.open_site, wrong, founder=yard.otto)
    assert not Site.objects.filter(code="west").exists()


def test_an_administrator_opens_a_second_yard_and_administers_it(yard: Yard) -> None:
    """Nobody else of the first yard is anybody there; the same code is opened once."""
    perform(WEST, actor=yard.otto)
    assert roles_at(yard.otto, "west") == [Role.ADMINISTRATOR]
    assert roles_at(yard.mira, "west") == []
    refused("site-known", perform, WEST, actor=yard.otto)
    refused("not-allowed", perform, WEST, actor=yard.mira)
    refused("not-allowed", perform, WEST, actor=yard.outsider)


@pytest.mark.parametrize("code", ["West", "we st", "a/b", "", "-west", "ä", "x" * 21, "west\n"])
def test_a_code_is_small_letters_digits_and_hyphens(yard: Yard, code: str) -> None:
    """It stands in addresses."""
    refused("input-unfit", perform, msgspec.structs.replace(WEST, site=code), actor=yard.otto)


def test_a_yard_is_described_for_whatever_comes_after(yard: Yard) -> None:
    """The past reads it as it was; so does what is cut below a position of the log."""
    before = Event.objects.latest("pk").recorded
    perform(DETAILS, actor=yard.otto, target=yard.site)
    assert Site.objects.get(pk=yard.site).street == "1 Invented Way"
    now, then = yard_at(yard.site), yard_at(yard.site, recorded=before)
    assert now.printed == ("1 Invented Way, Nowhere IA 50000, US", "+1 555 0100")
    assert (then.printed, then.details.time_zone) == ((), "America/Chicago")
    assert now.details.time_zone == "America/Denver"
    assert texts(verify()) == []


@pytest.mark.parametrize(
    ("field", "value", "code"),
    [
        ("country", "us", "input-unfit"),
        ("country", "ZZ", "no-such-country"),
        ("web", "javascript:alert(1)", "input-unfit"),
        ("email", "nobody", "input-unfit"),
        ("name", " ", "input-unfit"),
        ("time_zone", "Mars/Base", "no-such-time-zone"),
    ],
)
def test_a_detail_that_cannot_be_is_refused(yard: Yard, field: str, value: str, code: str) -> None:
    """Nothing of it is kept."""
    wrong = msgspec.structs.replace(DETAILS, **{field: value})
    refused(code, perform, wrong, actor=yard.otto, target=yard.site)


def opening(day: Weekday, opens: str, closes: str) -> Opening:
    """Opening hours."""
    return Opening(day=day, opens=opens, closes=closes)


def test_hours_are_kept_in_order_and_never_overlap(yard: Yard) -> None:
    """One that ends before it begins, or begins before another ended, is named with its times."""
    late = opening(Weekday.MONDAY, "13:00", "17:00")
    early = opening(Weekday.MONDAY, "7:30", "12:00")
    refused("input-unfit", perform, SetHours(hours=(early,)), actor=yard.otto, target=yard.site)
    early = opening(Weekday.MONDAY, "07:30", "13:00")
    perform(SetHours(hours=(late, early)), actor=yard.otto, target=yard.site)
    assert yard_at(yard.site).hours == (early, late)
    for hours, code in (
        ((late, opening(Weekday.MONDAY, "16:00", "18:00")), "hours-overlap"),
        ((opening(Weekday.MONDAY, "17:00", "08:00"),), "hours-end-first"),
        ((opening(Weekday.MONDAY, "08:00", "08:00"),), "hours-end-first"),
    ):
        refused(code, perform, SetHours(hours=hours), actor=yard.otto, target=yard.site)


def test_holidays_are_of_a_country_and_region_there_are(yard: Yard) -> None:
    """A day of one's own stands once."""
    fair = ClosedDay(day=date(2026, 8, 21), name="County fair")
    good = SetHolidays(country="US", region="IA", closed=(fair,))
    perform(good, actor=yard.otto, target=yard.site)
    assert yard_at(yard.site).closed == (fair,)
    for wrong, code in (
        (SetHolidays(country="US", region="QQ"), "no-such-region"),
        (SetHolidays(region="IA"), "no-such-region"),
        (SetHolidays(country="QQ"), "no-such-country"),
        (SetHolidays(closed=(fair, fair)), "closed-twice"),
    ):
        refused(code, perform, wrong, actor=yard.otto, target=yard.site)
    assert texts(verify()) == []


def test_a_logo_is_kept_by_its_digest_and_the_former_ones_stay(yard: Yard) -> None:
    """Documents that have them may have to be made again."""
    perform(SetLetterhead(lines=("Open in season",)), actor=yard.otto, target=yard.site)
    first = set_logo(yard, (200, 20, 20))
    second = set_logo(yard, (20, 200, 20))
    perform(RemoveLogo(), actor=yard.otto, target=yard.site)
    assert yard_at(yard.site).logo is None
    assert set(LogoFile.objects.values_list("digest", flat=True)) == {first, second}
    assert texts(verify()) == []
    LogoFile.objects.filter(digest=first).delete()
    assert texts(verify())[0].startswith("The file of a logo of yard north is missing.")


def set_logo(yard: Yard, color: tuple[int, int, int]) -> str:
    """The digest of a new logo."""
    target = io.BytesIO()
    Image.new("RGB", (60, 20), color).save(target, "PNG")
    perform(SetLogo(), actor=yard.otto, target=yard.site, attachment=target.getvalue())
    logo = yard_at(yard.site).logo
    assert logo is not None
    return logo.digest


@pytest.mark.parametrize(
    "content",
    [
        None,
        b"",
        b"<svg xmlns='http://www.w3.org/2000/svg'><script>alert(1)</script></svg>",
        b"\x89PNG\r\n\x1a\n" + b"<script>",
        b"x" * (1024**2 + 1),
        picture()[:40],
    ],
    ids=["none", "empty", "svg", "script", "large", "cut"],
)
def test_what_is_no_picture_is_no_logo(yard: Yard, content: bytes | None) -> None:
    """Refused, and no file of it stays."""
    before = Event.objects.count()
    with pytest.raises(Refusal):
        perform(SetLogo(), actor=yard.otto, target=yard.site, attachment=content)
    assert Event.objects.count() == before
    assert not LogoFile.objects.exists()


def test_only_an_administrator_of_the_yard_changes_it(yard: Yard) -> None:
    """Whatever else they are there."""
    for command in (DETAILS, SetHours(hours=()), SetHolidays(), SetLetterhead(lines=())):
        refused("not-allowed", perform, command, actor=yard.mira, target=yard.site)
        refused("no-such-site", perform, command, actor=yard.outsider, target=yard.site)
