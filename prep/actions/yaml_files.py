"""Reading document files for the command line."""

from pathlib import Path

from prep.record.refusal import Refusal


def read_document(path: Path) -> str:
    """Text of a document file; Refusal where it cannot be read."""
    try:
        return path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as wrong:
        raise Refusal("no-such-file", f"{path} cannot be read: {wrong}.") from wrong
