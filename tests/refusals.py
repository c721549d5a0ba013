"""Seeing that a refused command changed nothing."""

from typing import Any

import pytest

from prep.models import Event, Flag, Reading, SignOff, Unit, UnitStep
from prep.record.refusal import Refusal

TABLES = (Unit, UnitStep, Reading, Flag, SignOff)


def everything() -> list[Any]:
    """The log's length and every index row."""
    return [Event.objects.count(), *(list(t.objects.order_by("pk").values()) for t in TABLES)]


def refused(code: str, action: Any, *args: Any, **kwargs: Any) -> Refusal:
    """The refusal an action ends in; neither log nor index changed."""
    before = everything()
    with pytest.raises(Refusal) as caught:
        action(*args, **kwargs)
    assert caught.value.code == code
    assert everything() == before
    return caught.value
