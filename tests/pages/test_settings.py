"""A wrench's setting entered on the step page, with its counts."""

from typing import Any

from prep.models import Reading
from tests.cast import Yard
from tests.pages.visitor import post, signed_in, step_path
from tests.setting_sheets import with_settings


def test_the_page_asks_for_the_setting_and_shows_it_as_a_setting(yard: Yard) -> None:
    """Three boxes to fill in, and no word of a reading."""
    unit = with_settings(yard)
    ada = signed_in(yard.ada)
    path = step_path(unit, "blades")
    page = ada.get(path).content.decode()
    assert "Tool set to, with the unit" in page
    assert "How many were gone over, of 6" in page
    assert "Reading and unit" not in page
    box: dict[str, Any] = {"do": "setting", "box": "torque|left", "instrument": "W-1"}
    refused = post(ada, path, 409, text="450 ft lb", checked="six", moved="0", **box)
    assert "“six” is not a whole number. Enter digits only." in refused
    asked = post(ada, path, 409, text="450 lb", checked="6", moved="1", **box)
    assert 'name="checked" value="6"' in asked
    assert Reading.objects.filter(unit=unit, kind="setting").count() == 0
    post(ada, path, text="450 ft lb", checked="6", moved="1", **box)
    page = ada.get(path).content.decode()
    assert "<b>set to 450 ft·lbf</b>" in page
    assert "6 of 6 gone over, 1 moved" in page
    assert "set in limit" in page
