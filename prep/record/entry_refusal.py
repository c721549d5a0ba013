"""The refusal of a typed entry that gave no value."""

from prep.record.refusal import Refusal
from prep.rules.entries.results import NotMeasured, Question, Unreadable, why_unread


def refusal_of_unread(entry: Question | NotMeasured | Unreadable, field: str) -> Refusal:
    """`ambiguous` with the choices, or `unreadable` with what to type instead."""
    text, choices = why_unread(entry)
    if choices:
        return Refusal("ambiguous", text, field=field, choices=choices)
    return Refusal("unreadable", text, field=field)
