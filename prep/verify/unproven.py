"""What no verification can prove from the database, the files and the checkpoints at hand.

The list is closed: whoever changes something and leaves no other finding has changed one of these.
The campaign against the whole database (`tests/campaigns/test_database.py`) holds it to that.
"""

from collections.abc import Iterator

from prep.models import Unsealed
from prep.verify.findings import Statement


def unproven() -> Iterator[Statement]:
    """What stays unproven whatever was given."""
    waiting = Unsealed.objects.count()
    if waiting:
        yield Statement("not-sealed", {"count": waiting}, proved=False)
    yield Statement("new-events", proved=False)
    yield Statement("state-restored", proved=False)
    yield Statement("not-evidence", proved=False)
    yield Statement("secrets", proved=False)
