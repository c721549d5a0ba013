"""Faults of stored files and of log entries that a bundle is made of, in words."""

from typing import Final

from django.utils.translation import gettext_noop as _

from prep.words.reader import Reader, say

FILES: Final[dict[str, str]] = {
    "gone": _("{file} is missing from storage."),
    "changed": _("{file} was changed in storage. Its digest is not the one in the log."),
}
ENTRIES: Final[dict[str, str]] = {
    "not-as-sealed": _(
        "Entry {position} of the log, version {version} of this unit, is not what was sealed there."
    ),
    "hash-changed": _(
        "The hash stored with entry {position} of the log, version {version} of this unit, was "
        "changed."
    ),
}
UNREADABLE: Final = _("The entries of this unit cannot be replayed. Compare them with a backup.")


def file_fault_text(fault: str, file: str, reader: Reader) -> str:
    """What is wrong with a stored file; `file` is its path in the bundle."""
    return say(reader, FILES[fault], file=file)


def entry_fault_text(fault: str, position: int, version: int, reader: Reader) -> str:
    """What is wrong with an entry at its position in the log."""
    return say(reader, ENTRIES[fault], position=position, version=version)


def unreadable_text(reader: Reader) -> str:
    """What is said of a unit whose entries make no sense any more."""
    return say(reader, UNREADABLE)
