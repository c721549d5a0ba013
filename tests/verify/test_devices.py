"""Verification of the devices' rows against their streams."""

from typing import Any

import pytest

from prep.models import Device
from prep.verify.findings import Finding
from prep.verify.reference_data import reference_data
from tests.cast import Yard
from tests.tablets import tablet


def found() -> list[str]:
    """What is wrong with the rows of devices."""
    results = reference_data(lambda *_: None)
    return [one.code for one in results if isinstance(one, Finding) and one.sort == "device"]


def test_devices_as_they_were_recorded_are_right_whenever_they_were_heard_of(yard: Yard) -> None:
    """Contact and what waits are no part of the record."""
    tablet(yard.mira, yard.site)
    Device.objects.update(unsent=7)
    assert found() == []


@pytest.mark.parametrize(
    "changed", [{"key_digest": "0" * 64}, {"name": "Tablet 9"}, {"enrolled_by": "Nobody"}]
)
def test_a_row_changed_without_an_event_is_named(yard: Yard, changed: dict[str, Any]) -> None:
    """Somebody who puts a key of their own there cannot make its fingerprint."""
    tablet(yard.mira, yard.site)
    Device.objects.update(**changed)
    assert found() == ["row-altered"]


def test_a_device_that_no_event_speaks_of_is_named(yard: Yard) -> None:
    """Put into the table by hand."""
    device = tablet(yard.mira, yard.site)
    row = Device.objects.get(pk=device)
    row.pk = "0b6cf7f4-51cf-4a6e-9d0a-9a3a5a3f9c11"
    row.save(force_insert=True)
    assert found() == ["row-unknown"]


def test_under_another_secret_key_nobody_is_accused(yard: Yard, settings: Any) -> None:
    """Nobody can tell then whose key it is."""
    tablet(yard.mira, yard.site)
    settings.SECRET_KEY = "another secret key of the service (invented)"
    assert found() == []
