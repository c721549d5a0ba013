"""Of all single changes of rows and stored files, none goes unseen by a verification."""

from uuid import UUID

import pytest

from prep.verify.run import verify
from tests.actions.kept import kept, texts, unguarded
from tests.campaigns.plan import SHARDS, chances
from tests.campaigns.rows import EVIDENCE, a_change, seen
from tests.cast import Yard

__all__ = ["kept"]


@pytest.mark.parametrize("shard", range(SHARDS))
def test_of_all_single_changes_none_goes_unseen(kept: tuple[Yard, UUID], shard: int) -> None:
    """Columns changed, rows removed, added and exchanged, files changed, taken and added: each one
    is found, and the control before and after finds nothing."""
    assert texts(verify()) == []
    unseen, kinds, made = [], set(), 0
    with unguarded():
        for chance in chances("rows", shard, SHARDS):
            was_seen = None
            while was_seen is None:  # the database refused it, or it came to nothing
                change = a_change(chance)
                was_seen = seen(change) if change else None
            made += 1
            assert change is not None
            kinds.add(change.told.split()[0])
            if not was_seen:
                unseen.append(change.told)
    print(f"{made} changes of rows and stored files, {len(unseen)} unseen")
    assert unseen == []
    assert len(kinds) > len(EVIDENCE) // 2
    assert texts(verify()) == []
