"""Days as commands on people name them."""

from datetime import date

from prep.record.refusal import Refusal


def checked_day(text: str, field: str) -> str:
    """A day of the calendar, as it was typed; Refusal of one there is not."""
    try:
        date.fromisoformat(text)
    except ValueError:
        raise Refusal("day-unclear", field=field, typed=text) from None
    return text
