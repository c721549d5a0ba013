"""The addresses that keep checkpoints, beside the log, where they can be removed."""

import secrets
from uuid import UUID, uuid5

from prep.models import CheckpointKeeper


def new_keeper(site: str, command: UUID, email: str, language: str) -> CheckpointKeeper:
    """The row of an address, with a salt of its own; not stored yet.

    Its id follows from the command, so that a resend adds no second one.
    """
    return CheckpointKeeper(
        id=uuid5(command, "keeper"),
        site_id=site,
        email=email,
        language=language,
        salt=secrets.token_hex(16),
    )
