"""Where sessions are kept: Django's store, over a table that says whose each session is."""

from typing import Any, Final

from django.contrib.auth import SESSION_KEY
from django.contrib.sessions.backends.db import SessionStore as DatabaseStore

from prep.models import Session

DEVICE: Final = "device"  # in a session, the id of the yard's device that it is on


class SessionStore(DatabaseStore):
    """A session in the table of `Session`. One that was ended meanwhile is not written again."""

    @classmethod
    def get_model_class(cls) -> type[Session]:
        """The table."""
        return Session

    def create_model_instance(self, data: dict[str, Any]) -> Session:
        """The row of a session, with its person and device beside what they stand in."""
        row: Session = super().create_model_instance(data)  # type: ignore[assignment]  # the model above
        row.person_id = int(data[SESSION_KEY]) if SESSION_KEY in data else None
        row.device = data.get(DEVICE)
        return row
