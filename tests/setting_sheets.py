"""A sheet whose blade bolts are gone over with a wrench that clicks."""

from typing import Any
from uuid import UUID

from prep.actions.perform import perform
from prep.actions.submission import Outcome
from prep.record.procedure.commands import PublishProcedure
from prep.record.unit.commands.entries import CheckSetting
from tests.cast import DOCUMENTS, Yard

READING = "            quantity: torque\n"
SETTING = '            setting: {{fasteners: "6"{more}}}\n'


def with_settings(yard: Yard, *, may_move: int | None = None) -> UUID:
    """A unit whose second step is open, and takes settings: six bolts at two positions."""
    text = (DOCUMENTS / "procedure.yaml").read_text().replace("revision: 1", "revision: 2", 1)
    more = "" if may_move is None else f", may_move: {may_move}"
    text = text.replace(READING, READING + SETTING.format(more=more), 1)
    perform(PublishProcedure(document=text), actor=yard.otto)
    unit = yard.started()
    yard.block_deck(unit)
    yard.acknowledge(unit, "blades")
    return unit


def set_wrench(yard: Yard, unit: UUID, text: str = "450 ft lb", **more: Any) -> Outcome:
    """Ada goes over the bolts at the left."""
    fields = {"position": "left", "instrument": "W-1", "checked": 6, "moved": 6, **more}
    command = CheckSetting(step="blades", line="torque", text=text, **fields)
    return perform(command, actor=yard.ada, target=unit)
