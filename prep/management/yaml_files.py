"""Reading document files for the command line."""

from pathlib import Path

import msgspec

from prep.record.documents.typed import sound_document
from prep.record.documents.yaml_text import decoded
from prep.record.instrument.commands import Instrument
from prep.record.refusal import Refusal


class _InstrumentAt(Instrument, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """An instrument of a list, with the yard it is kept at."""

    site: str


def read_text(path: Path) -> str:
    """Text of a document file; Refusal where it cannot be read."""
    try:
        return decoded(path.read_bytes())
    except OSError as wrong:
        raise Refusal("no-such-file", path=str(path), cause=str(wrong)) from wrong


def read_instruments(path: Path) -> list[tuple[str, Instrument]]:
    """Instruments of a YAML list, as (site, facts). Refusal with every fault of the list."""
    rows = sound_document(read_text(path), list[_InstrumentAt])
    return [(row.site, _without_site(row)) for row in rows]


def _without_site(row: _InstrumentAt) -> Instrument:
    facts = msgspec.structs.asdict(row)
    del facts["site"]
    return Instrument(**facts)
