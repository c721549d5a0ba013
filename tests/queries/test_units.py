"""Units as people of several yards see them."""

from uuid import UUID, uuid4

import pytest

from prep.actions import sites
from prep.actions.perform import perform
from prep.queries.records import record_of
from prep.queries.units import joinable, seen_by
from prep.record.refusal import Refusal
from prep.record.roles import Role
from prep.record.site.commands import GiveRole, OpenSite
from prep.record.unit.commands.receiving import ReceiveUnit
from tests.cast import Yard


@pytest.fixture
def there(yard: Yard) -> UUID:
    """A unit of a second yard, where Ada of the first one sells and Ben receives."""
    opened = OpenSite(
        site="south", name="South yard", time_zone="UTC", dealer="Invented Implements"
    )
    sites.open_site(opened, founder=yard.otto)
    for who, role in ((yard.ada, Role.SALES), (yard.ben, Role.TECHNICIAN)):
        perform(GiveRole(person=who.username, role=role), actor=yard.otto, target="south")
    received = ReceiveUnit(site="south", maker="Larkfield", serial="TC90002", model="TC-12")
    return perform(received, actor=yard.ben).unit


def test_a_unit_of_a_yard_where_somebody_holds_no_role_is_not_there(yard: Yard) -> None:
    """It is answered as a unit that does not exist, and not as one that is kept from them."""
    unit = yard.receive()
    for who, which in ((yard.outsider, unit), (yard.ada, uuid4())):
        with pytest.raises(Refusal) as refused:
            seen_by(who, which)
        assert refused.value.code == "no-such-unit"


def test_roles_of_one_yard_are_not_held_at_another(yard: Yard, there: UUID) -> None:
    """Ada repairs here and sells there."""
    here = yard.receive()
    assert seen_by(yard.ada, here).roles == {Role.TECHNICIAN}
    assert seen_by(yard.ada, there).roles == {Role.SALES}


@pytest.mark.usefixtures("there")
def test_only_other_units_that_the_yard_still_has_may_be_the_same_machine(yard: Yard) -> None:
    """Not the unit itself, not one of another yard, not one that was handed over."""
    gone = yard.ready()
    yard.release(gone)
    yard.hand_over(gone)
    unit, near = yard.receive(serial="TC90001"), yard.receive(serial="TC90007")
    assert [one for one, _ in joinable(record_of(unit))] == [str(near)]
