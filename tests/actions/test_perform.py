"""The one write path: what commands may ask of it, and what it costs."""

from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from prep.actions.facts.loaders import LOADERS
from prep.actions.locks import NAMED_SETS
from prep.actions.perform import perform
from prep.actions.streams.all_streams import STREAMS
from prep.record.commands import COMMANDS
from prep.record.unit.commands.entries import TakeReading
from tests.cast import Yard

MOST_STATEMENTS = 11  # of one reading, its permission and its index rows included


@pytest.mark.parametrize("tag", sorted(COMMANDS))
def test_what_a_command_declares_is_known_to_the_write_path(tag: str) -> None:
    """Its stream, the loader of each fact it needs, and the sets it reads and changes."""
    command = COMMANDS[tag]
    assert command.stream in STREAMS
    assert set(command.needs) <= set(LOADERS)
    read = {LOADERS[need].named_set for need in command.needs} - {""}
    assert read | set(command.changes) <= set(NAMED_SETS)


def test_every_loader_and_every_set_is_somebodys() -> None:
    """A fact that no command needs is dead."""
    needed = {need for command in COMMANDS.values() for need in command.needs}
    assert set(LOADERS) == needed
    sets = {loader.named_set for loader in LOADERS.values()} - {""}
    changed = {name for command in COMMANDS.values() for name in command.changes}
    # Wordings are kept with the command that signs them, and files before their command: whoever
    # keeps them takes that lock.
    assert sets == changed == set(NAMED_SETS) - {"wordings", "files"}


@pytest.mark.django_db
def test_a_reading_costs_eleven_statements_at_most(yard: Yard) -> None:
    """The first in a step that needs a tool, and a later one that corrects it."""
    unit = yard.started()
    yard.block_deck(unit)
    yard.acknowledge(unit, "blades")
    box: dict[str, Any] = {
        "step": "blades",
        "line": "torque",
        "position": "left",
        "instrument": "W-1",
    }
    with CaptureQueriesContext(connection) as first:
        taken = perform(TakeReading(text="300 ft lb", **box), actor=yard.ada, target=unit)
    entry = taken.events[0].reading
    again = TakeReading(text="450 ft lb", supersedes=entry, reason="torqued again", **box)
    with CaptureQueriesContext(connection) as second:
        perform(again, actor=yard.ada, target=unit)
    counts = [len([q for q in one if "SAVEPOINT" not in q["sql"]]) for one in (first, second)]
    assert max(counts) <= MOST_STATEMENTS, counts
