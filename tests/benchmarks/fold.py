"""Folding a unit's 300 events, as a ratio to decoding their JSON."""

from datetime import UTC, datetime
from pathlib import Path

import msgspec

from prep.record.facts import InstrumentFacts
from prep.record.log import canonical_json
from prep.record.procedure.reading import load_procedure
from prep.record.unit import events as e
from prep.record.unit.fold import fold
from prep.record.unit.frozen_limit import FrozenLimit
from prep.record.unit.state import Record, Stamp
from prep.record.unit.views.index_rows import rows
from tests.benchmarks.timing import best_of, table

NOW = datetime(2026, 5, 4, 9, tzinfo=UTC)
DOCUMENTS = Path(__file__).parents[1] / "documents"


def bodies() -> tuple[list[bytes], dict[str, object]]:
    """JSON of 300 events of one unit, most of them readings, and the procedure library."""
    procedure, _, digest = load_procedure((DOCUMENTS / "procedure.yaml").read_text())
    limit = FrozenLimit("invented manual", "manufacturer", "76.2", "152.4", "length")
    tape = InstrumentFacts("M-1", "tape measure", "Tape M-1", "length", resolution="1/16 in")
    history: list[e.Event] = [
        e.Received("Larkfield", "lf", "TC1", "TC1", "", None, (), (), (), "", ""),
        e.SheetStarted("TC-SETUP", 1, digest),
    ]
    for number in range(149):
        reading = e.ReadingTaken(
            reading=f"r{number}",
            step="pitch",
            line="front",
            position="",
            raw="7 in",
            verdict="nonconforming",
            quantity="length",
            value="7",
            unit="in",
            canonical="177.8",
            canonical_unit="mm",
            limit=limit,
            instrument=tape,
        )
        flag = e.FlagRaised(f"f{number}", "reading", "too high", "pitch", "front", "", f"r{number}")
        history += [reading, flag]
    texts = [canonical_json.encode(msgspec.to_builtins(event)) for event in history]
    return texts, {digest: procedure}


def main() -> None:
    """Print the ratios."""
    texts, library = bodies()
    stamps = [Stamp("1", "Ada Invented", NOW, NOW, n + 1) for n in range(len(texts))]

    def folded() -> Record:
        return fold(zip(stamps, map(e.decode, texts), strict=True), library)  # type: ignore[arg-type]

    best = best_of(
        {
            "decode the JSON": lambda: [e.decode(text) for text in texts],
            "decode and fold": folded,
            "decode, fold and derive the index rows": lambda: rows(folded()),
        }
    )
    print(f"{len(texts)} events of one unit; time for all")
    print(table(best, "decode the JSON"))


if __name__ == "__main__":
    main()
