"""Verification holds signatures against the words that were signed."""

import json
from typing import get_args
from uuid import UUID

from prep.models import Event
from prep.record.unit.events import UnitEvent
from prep.verify.run import findings
from prep.verify.wordings import SIGNED, wordings
from tests.actions.kept import kept, rows, unguarded
from tests.cast import Yard

__all__ = ["kept"]


def found() -> list[tuple[str, str]]:
    """Codes and digests of the check of the words."""
    return [(one.code, one.which) for one in findings(checks=[wordings])]


def test_words_changed_after_they_were_signed_are_named(kept: tuple[Yard, UUID]) -> None:
    """A statement that says less than what was signed."""
    assert found() == []
    wording = Event.objects.filter(stream="wording").first()
    assert wording is not None
    with unguarded():
        body = {**json.loads(wording.body), "text": "I have seen this"}
        rows(Event).filter(pk=wording.pk).update(body=json.dumps(body))
        assert found() == [("wording-altered", wording.stream_id)]


def test_words_taken_out_of_the_log_are_named(kept: tuple[Yard, UUID]) -> None:
    """Once, however many signed them."""
    digests = set(Event.objects.filter(stream="wording").values_list("stream_id", flat=True))
    with unguarded():
        rows(Event).filter(stream="wording").update(stream="nowhere")
        assert sorted(found()) == sorted(("wording-missing", digest) for digest in digests)


def test_every_kind_of_event_with_words_is_looked_at() -> None:
    """A new kind of signature cannot be forgotten."""
    kinds = get_args(UnitEvent)
    assert {
        kind.__struct_config__.tag for kind in kinds if "wording" in kind.__struct_fields__
    } == set(SIGNED)
