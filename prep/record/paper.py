"""Sheets on paper: the mark by which a sheet filled in by hand is known to be of the revision."""

import re
from typing import Final

MARK_LENGTH: Final = 8


def mark_of(digest: str) -> str:
    """The mark printed on every page of a blank sheet: `1A2B 3C4D`, from its revision's digest."""
    head = digest[:MARK_LENGTH].upper()
    return f"{head[:4]} {head[4:]}"


def same_mark(typed: str, digest: str) -> bool:
    """Whether a mark as somebody typed it is that of a revision."""
    return re.sub(r"[^0-9A-Z]", "", typed.upper()) == digest[:MARK_LENGTH].upper()
