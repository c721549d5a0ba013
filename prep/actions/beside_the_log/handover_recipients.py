"""The name of whoever received a unit, kept beside the log, where it can be erased."""

import secrets
from uuid import UUID

from prep.models import Recipient


def new_recipient(handover: UUID, name: str) -> Recipient:
    """The row of a recipient, with a salt of its own; not stored yet."""
    return Recipient(handover=handover, name=name, salt=secrets.token_hex(16))
