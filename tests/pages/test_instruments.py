"""The page of a tool: reached from the list, and moved to another yard by who keeps both yards'."""

import pytest

from prep.actions import sites
from prep.actions.perform import perform
from prep.models import Event, Instrument
from prep.record.roles import Role
from prep.record.site.commands import GiveRole
from prep.record.site.yard_commands import OpenSite
from tests.cast import Yard
from tests.pages.visitor import Enter, post

PAGE = "/instruments/W-1/"


@pytest.fixture(autouse=True)
def _south(yard: Yard) -> None:
    """Another yard, at which Mira is service manager as well."""
    opened = OpenSite(site="south", name="South yard", time_zone="America/Chicago", dealer="Inv")
    sites.open_site(opened, founder=yard.otto)
    for who, role in ((yard.mira, Role.SERVICE_MANAGER), (yard.ada, Role.TECHNICIAN)):
        perform(GiveRole(person=who.username, role=role), actor=yard.otto, target="south")


def test_who_keeps_the_tools_of_both_yards_moves_one_by_page(yard: Yard, enter: Enter) -> None:
    """Found in the list of tools; the form sent late finds it moved."""
    manager = enter(yard.mira)
    assert f'href="{PAGE}"' in manager.get("/lists/instruments/").content.decode()
    page = manager.get(PAGE).content.decode()
    assert '<option value="south">South yard</option>' in page
    form = {"site": yard.site, "to": "south", "reason": "More work there (invented)"}
    assert "Reason" in post(manager, PAGE, 409, **{**form, "reason": " "})
    assert Instrument.objects.get(pk="W-1").site_id == yard.site
    post(manager, PAGE, 302, **form)
    assert Instrument.objects.get(pk="W-1").site_id == "south"
    late = post(manager, PAGE, 409, **form)
    assert "another yard" in late
    assert Event.objects.filter(kind="instrument.moved").count() == 1


def test_who_keeps_no_tools_sees_the_page_without_the_form(yard: Yard, enter: Enter) -> None:
    """A technician of both yards, and an auditor; to another yard's manager there is no page."""
    for who in (yard.ada, yard.rhea):
        page = enter(who).get(PAGE).content.decode()
        assert "Torque wrench" in page
        assert "Move the tool" not in page
    form = {"site": yard.site, "to": "south", "reason": "r"}
    post(enter(yard.ada), PAGE, 409, **form)
    assert Instrument.objects.get(pk="W-1").site_id == yard.site
    assert enter(yard.outsider).get(PAGE).status_code == 404
    assert enter(yard.mira).get("/instruments/W%2F9/").status_code == 404
