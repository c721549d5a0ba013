"""Seeing that a refused command changed nothing."""

from collections.abc import Iterator
from contextlib import contextmanager, suppress
from typing import Any

import pytest
from django.db import transaction

from prep.models import Event, Flag, Reading, SignOff, Unit, UnitStep
from prep.record.refusal import Refusal

TABLES = (Unit, UnitStep, Reading, Flag, SignOff)


def everything() -> list[Any]:
    """The log's length and every index row."""
    return [Event.objects.count(), *(list(t.objects.order_by("pk").values()) for t in TABLES)]


class Undone(Exception):
    """Raised to take back what a command did."""


def own_transaction() -> Any:
    """A transaction of a test, around what it does: to the service it is none.

    What has to be committed by itself, as an attempt at a PIN, may be done inside.
    """
    block: Any = transaction.atomic()
    block._from_testcase = True  # as Django marks those of its own test cases
    return block


@contextmanager
def undone() -> Iterator[None]:
    """Take back whatever is done within."""
    with suppress(Undone), own_transaction():
        yield
        raise Undone


def refused(code: str, action: Any, *args: Any, **kwargs: Any) -> Refusal:
    """The refusal an action ends in; neither log nor index changed."""
    before = everything()
    with pytest.raises(Refusal) as caught:
        action(*args, **kwargs)
    assert caught.value.code == code
    assert everything() == before
    return caught.value
