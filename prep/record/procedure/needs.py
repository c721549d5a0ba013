"""The procedure revisions that decisions need."""

from dataclasses import dataclass
from typing import Final

from prep.record.command import Need
from prep.record.procedure.document import Procedure


@dataclass(frozen=True)
class PinnedProcedure:
    """A procedure revision and its digest."""

    procedure: Procedure
    digest: str


REVISION: Final = Need[PinnedProcedure]("procedure-revision")
PROCEDURE_IN_FORCE: Final = Need[PinnedProcedure]("procedure-in-force")
