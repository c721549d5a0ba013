"""The streams of accounts. Their rows are written by the actions on people, with the event."""

from prep.actions.streams.reference import ReferenceStream
from prep.models import Person


class AccountStream(ReferenceStream):
    """Somebody's account: what it was made, and each change of it."""

    name = "account"
    table = Person

    def key(self, target: str) -> int:
        """The person's id."""
        return int(target)
