"""What a flag is about, as data: everything its words need."""

from enum import StrEnum

import msgspec

from prep.record.facts import Damage
from prep.record.moments import Differs
from prep.record.phrases import KeptPhrase
from prep.record.unit.frozen_limit import FrozenLimit


class Origin(StrEnum):
    """What raised a flag."""

    READING = "reading"
    SETTING = "setting"
    MOVED = "fasteners-moved"
    LEFT_OUT = "fasteners-left-out"
    GUARD_BAND = "guard-band"
    INSTRUMENT = "instrument"
    CHECK = "check"
    PAPERS = "papers"
    SERIAL_SCHEME = "serial-scheme"
    DAMAGE = "damage"
    PERSON = "person"
    MOMENTS = "moments-differ"
    UNMEASURED = "not-measured"
    LOOKED_UP = "looked-up"


class Closing(StrEnum):
    """How a flag was closed."""

    FIXED = "fixed"
    CONFORMING_ENTRY = "conforming-entry"
    SUPERSEDED = "superseded"
    CONCESSION = "concession"
    MODEL_CORRECTED = "model-corrected"
    PLATE_CORRECTED = "plate-corrected"


class FlagFacts(msgspec.Struct, frozen=True, omit_defaults=True):
    """What a flag is about.

    `text` is what a person typed: the problem, the note of a check, why nothing was measured. `ask`
    is the question of the line at that time. `typed`, `verdict`, `limit`, `instrument` and `due`
    are those of the reading, `differs` what the entry was worth at one of its moments alone.
    `moved` of `checked` of all `fasteners` turned before the tool clicked, where it was set and
    nothing was measured.
    """

    origin: str
    text: str = ""
    ask: str = ""
    position: str = ""
    typed: str = ""
    fasteners: int = 0
    checked: int = 0
    moved: int = 0
    verdict: str = ""
    limit: FrozenLimit | None = None
    instrument: str = ""
    due: str = ""
    serial: str = ""
    papers: str = ""
    damage: Damage | None = None
    phrase: KeptPhrase | None = None
    differs: tuple[Differs, ...] = ()
