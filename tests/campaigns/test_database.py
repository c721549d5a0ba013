"""Of all that somebody with the whole database does, only the closed list goes unseen."""

import random
from pathlib import Path
from typing import Any

import pytest
from django.db import connection

from prep.actions import people, sealing
from prep.actions.perform import perform
from prep.models import Checkpoint, triggers
from prep.record.unit.commands.receiving import SetLocation
from prep.verify.guards import guards
from prep.verify.run import CHECKS, findings, verify
from reports import queue
from tests.actions.kept import texts, unguarded
from tests.campaigns.database import FOLLOWING, MOVES, SEEN, UNJUDGED, Move, State, several
from tests.campaigns.plan import chances
from tests.cast import PASSWORD, Yard
from tests.kept_yard import KeptYard, dumped
from tests.reports.sold_units import buyer_with_address, hand_over, ready_for
from tests.stored_files import own_folders

SHARDS = 2


@pytest.fixture
def states(yard: Yard, settings: Any, tmp_path: Path) -> tuple[State, State]:
    """An older state and the present one: units, documents, people, checkpoints, and a tail that is
    not sealed yet."""
    own_folders(settings, tmp_path)
    unit = ready_for(yard, buyer_with_address(yard))
    sealing.seal()
    older = State.now(KeptYard(yard, dumped()))
    yard.release(unit)
    hand_over(yard, unit)
    queue.catch_up()
    queue.run_due()
    people.change_pin(actor=yard.rhea, password=PASSWORD, pin="998877")
    other = yard.started()
    yard.block_deck(other)
    queue.request(kind="verification", cause="1", person=yard.rhea)
    queue.catch_up()
    queue.run_due()
    sealing.seal()
    perform(SetLocation(place="row 4"), actor=yard.ada, target=other)
    now = State.now(KeptYard(yard, {}))
    now.put_back_files()
    return older, now


def unmet(moves: list[Move]) -> list[str]:
    """The moves that no finding calls by one of their codes."""
    if len(moves) == 1:
        named = (finding.code for finding in findings(checks=CHECKS))
        return [] if any(code in moves[0].codes for code in named) else [moves[0].make.__name__]
    report = verify()
    found = {one.code for one in report.findings}
    untold = bool(UNJUDGED & {one.code for one in report.unproven})
    return [
        move.make.__name__
        for move in moves
        if not move.codes & found and not (untold and move in FOLLOWING)
    ]


@pytest.mark.parametrize("shard", range(SHARDS))
def test_only_the_closed_list_goes_unseen(states: tuple[State, State], shard: int) -> None:
    """Single moves and two or three together; the control before and after finds nothing."""
    older, now = states
    assert texts(verify()) == []
    unseen, made = [], 0
    for chance in chances("database", shard, SHARDS):
        moves = several(chance) if chance.random() < 0.3 else [chance.choice(SEEN)]
        with unguarded():
            for move in moves:
                move.make(chance, older)
            left = unmet(moves)
        now.put_back_files()
        made += 1
        if left:
            unseen.append(f"{[move.make.__name__ for move in moves]}: {left}")
    print(f"{made} changes with the whole database, {len(unseen)} unseen")
    assert unseen == []
    assert texts(verify()) == []


@pytest.mark.parametrize("move", [move for move in MOVES if move.unseen])
def test_what_goes_unseen_is_told_in_every_verdict(states: tuple[State, State], move: Move) -> None:
    """Nothing is found, and the verdict says that nothing can be; one that puts an older state back
    is found by a checkpoint from outside."""
    older, now = states
    kept = Checkpoint.objects.latest("size").note
    with unguarded():
        move.make(random.Random("one"), older)
        report = verify()
        with_kept = verify(older=[kept])
    now.put_back_files()
    assert texts(report) == []
    assert move.unseen in {one.code for one in report.unproven}
    assert with_kept.holds == (move.unseen != "state-restored")


def test_a_guard_dropped_and_a_change_made_are_both_named(states: tuple[State, State]) -> None:
    """Put back afterwards, the guard looks right, and the change does not."""
    older, _ = states
    with unguarded():
        SEEN[0].make(random.Random("one"), older)
        assert [one.code for one in findings(checks=[guards])].count("guard-missing") >= 10
        triggers.install(connection)
        assert next(findings(checks=[guards, *CHECKS])).code == "event-altered"
