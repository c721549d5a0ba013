"""The main job from the truck to the handover, through the real write path."""

from prep.models import Event, Unit
from tests.cast import Yard


def test_a_unit_goes_from_the_truck_to_its_buyer(yard: Yard) -> None:
    """Every step done, signed, second-checked, released and handed over."""
    unit = yard.ready()
    yard.release(unit)
    yard.hand_over(unit)
    row = Unit.objects.get(pk=unit)
    assert row.state == "handed-over"
    assert row.ready_for_buyer
    assert (row.steps_done, row.steps_total) == (5, 5)
    assert row.version == Event.objects.filter(stream_id=str(unit)).count()
