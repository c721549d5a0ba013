"""Whatever an event's row says, its leaf holds: nothing in it changes unseen."""

from datetime import UTC, datetime
from typing import Any

import pytest

from prep.record.log.envelope import envelope, leaf

NOON = datetime(2026, 5, 4, 12, tzinfo=UTC)
ROW: dict[str, Any] = {
    "stream": "unit",
    "stream_id": "u1",
    "version": 1,
    "kind": "flag.raised",
    "schema": 1,
    "body": '{"text":"Decal torn"}',
    "actor": "ada",
    "actor_name": "Ada Invented",
    "site": "north",
    "device": "",
    "drift": None,
    "named": "",
    "named_name": "",
    "happened": NOON,
    "recorded": NOON,
    "command": "c1",
    "part": 0,
    "request": "",
    "facts": "[]",
}
OTHER: dict[str, Any] = {
    "version": 2,
    "schema": 2,
    "body": '{"text":"Decal torn!"}',
    "drift": 0,
    "happened": NOON.replace(microsecond=1),
    "recorded": NOON.replace(microsecond=1),
    "part": 1,
    "facts": '["unit"]',
}


@pytest.mark.parametrize("column", ROW)
def test_a_change_of_any_one_column_changes_the_leaf(column: str) -> None:
    """Also of a name put beside an empty id, and of no drift into a drift of nothing."""
    changed = OTHER.get(column, f"{ROW[column]}+")
    assert leaf(envelope(**ROW)) != leaf(envelope(**ROW | {column: changed}))
    assert leaf(envelope(**ROW)) == leaf(envelope(**ROW | {column: ROW[column]}))
