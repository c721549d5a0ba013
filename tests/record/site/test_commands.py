"""Opening a yard."""

import pytest

from prep.actions import sites
from prep.models import Site
from prep.record.site.yard_commands import OpenSite
from tests.cast import Yard
from tests.refusals import refused

pytestmark = pytest.mark.django_db


def test_a_yard_opens_in_a_time_zone_there_is(yard: Yard) -> None:
    """Days and deadlines are the yard's, so a misspelled zone is refused, not guessed."""
    wrong = OpenSite(site="west", name="West yard", time_zone="America/Chicgo", dealer="Invented")
    refused("no-such-time-zone", sites.open_site, wrong, founder=yard.otto)
    assert not Site.objects.filter(code="west").exists()
