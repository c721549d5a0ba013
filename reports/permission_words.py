"""Rows of the permission table in words."""

from prep.words import commands
from prep.words.permissions import read_text
from prep.words.reader import Reader, say
from reports.permissions import PermissionRow, Sort
from reports.registry import KINDS


def row_text(row: PermissionRow, reader: Reader) -> str:
    """What a row of the permission table allows."""
    if row.sort is Sort.COMMAND:
        return commands.title(row.name, reader)
    if row.sort is Sort.READ:
        return read_text(row.name, reader)
    return say(reader, KINDS[row.name].title)
