"""The refusal of a typed entry that gave no value."""

from prep.record.refusal import Refusal
from prep.rules.entries.results import Unread, choices_of


def refusal_of_unread(entry: Unread, field: str) -> Refusal:
    """`ambiguous` with the choices, or `unreadable`; `why` has its sentence in `prep.words`."""
    choices = choices_of(entry)
    if choices:
        return Refusal("ambiguous", field=field, choices=choices, why=entry.why)
    return Refusal("unreadable", field=field, why=entry.why)
