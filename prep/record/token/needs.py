"""What a decision on a token reads: the new one, without its secret."""

from dataclasses import dataclass
from datetime import datetime
from typing import Final

from prep.record.command import Need
from prep.record.roles import Actor


@dataclass(frozen=True)
class NewToken:
    """A token that is being issued: whose it is, for which yard, until when, its fingerprint."""

    bearer: Actor
    site: str
    expires: datetime
    fingerprint: str


NEW_TOKEN: Final = Need[NewToken]("new-token")
