"""A yard with a few of everything that lists show."""

from uuid import UUID

from prep.actions.perform import perform
from prep.record.unit.commands.flags import RaiseFlag
from prep.record.unit.commands.shortages import NoteShortage
from tests.cast import Yard


def with_a_few(yard: Yard) -> list[UUID]:
    """Five units: one handed over, one ready, three in work, with a flag and a missing part."""
    gone = yard.ready()
    yard.release(gone)
    yard.hand_over(gone)
    ready = yard.prepared()
    in_work = [yard.started() for _ in range(3)]
    perform(RaiseFlag(text="Guard bent"), actor=yard.ada, target=in_work[0])
    part = NoteShortage(part="Chain guard, rear", count=2, stops_release=True)
    perform(part, actor=yard.ada, target=in_work[1])
    return [gone, ready, *in_work]
