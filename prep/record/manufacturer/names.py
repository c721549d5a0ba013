"""Which manufacturer of the register a text names."""

from collections.abc import Sequence

from prep.record.facts import ManufacturerFacts
from prep.rules.identity.look_alikes import plain_key


def manufacturer_named(text: str, known: Sequence[ManufacturerFacts]) -> ManufacturerFacts | None:
    """The manufacturer that a text names by its id, its name or an alias; None for none.

    Case, spaces, dashes and dots make no difference.
    """
    key = plain_key(text)
    for one in known:
        if one.id == text.strip().lower() or key in map(plain_key, one.spellings):
            return one
    return None
