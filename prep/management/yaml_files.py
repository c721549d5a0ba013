"""Reading document files for the command line."""

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from prep.record.instrument.commands import Instrument
from prep.record.procedure.yaml_documents import convert, load_yaml
from prep.record.refusal import Refusal


def read_document(path: Path) -> str:
    """Text of a document file; Refusal where it cannot be read."""
    try:
        return path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as wrong:
        raise Refusal("no-such-file", path=str(path), cause=str(wrong)) from wrong


def read_instruments(path: Path) -> list[tuple[str, Instrument]]:
    """Instruments of a YAML list, as (site, facts). Raises DocumentError."""
    values = load_yaml(read_document(path))
    rows: Sequence[Mapping[str, Any]] = (
        values["instruments"] if isinstance(values, dict) else values
    )
    return [
        (row["site"], convert({k: v for k, v in row.items() if k != "site"}, Instrument))
        for row in rows
    ]
